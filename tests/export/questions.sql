-- Causes by kind of system: faults, and how many of them somebody saw or measured.
-- name: causes-by-system
SELECT c.system, c.cause, round(sum(c.share), 1) AS faults, count(c.found_by) AS found
FROM causes c JOIN jobs j USING (job)
WHERE j.purpose = 'work'
GROUP BY ALL ORDER BY faults DESC, c.system, c.cause LIMIT 20;

-- The same complaint on the same aircraft again within 50 engine hours.
-- name: repeat-complaints
SELECT first.aircraft, first.complaint, first.complaint_at, first.job, again.job AS again,
       round(again.engine_hours - first.engine_hours, 1) AS hours, first.state
FROM jobs first JOIN jobs again USING (aircraft, complaint, complaint_at)
WHERE first.purpose = 'work' AND again.purpose = 'work' AND again.job > first.job
  AND again.engine_hours - first.engine_hours BETWEEN 0 AND 50
ORDER BY hours, first.job, again.job;

-- Checks that never change anything: no answer put another cause in the lead or moved any cause by a twentieth.
-- name: idle-checks
SELECT r.check_name, count(*) AS made, round(sum(r.minutes)) AS minutes, round(max(r.moved), 3) AS most
FROM readings r JOIN jobs j USING (job)
WHERE j.purpose = 'work'
GROUP BY r.check_name
HAVING NOT bool_or(r.leader_changed) AND max(r.moved) < 0.05
ORDER BY minutes DESC, r.check_name;
