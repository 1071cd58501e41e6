//! In which order causes are walked and observations closed, and which slot each bit takes meanwhile.

use super::findings::Findings;

/// A step of the walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    /// Walk this cause.
    Walk(usize),
    /// Close this observation.
    Close(usize),
}

/// The order of the walk, and how many slots its bits need at a time.
pub(super) struct Schedule {
    pub(super) steps: Vec<Step>,
    pub(super) slots: usize,
    /// For each cause, the observations whose bits it can set.
    pub(super) touching: Vec<Vec<usize>>,
}

impl Schedule {
    /// Orders the walk, and renumbers the findings' bits to slots: a bit has one only while its observation is open.
    pub(super) fn of(findings: &mut Findings) -> Self {
        let touching = touching(findings);
        let steps = order(&touching, findings.closings.len());
        let mut slot_of: Vec<Option<usize>> = vec![None; findings.owner.len()];
        let mut free: Vec<usize> = Vec::new();
        let mut slots = 0;
        for step in &steps {
            match step {
                Step::Walk(cause) => {
                    for closing in &touching[*cause] {
                        for bit in &findings.closings[*closing].bits {
                            slot_of[*bit].get_or_insert_with(|| {
                                free.pop().unwrap_or_else(|| {
                                    slots += 1;
                                    slots - 1
                                })
                            });
                        }
                    }
                }
                Step::Close(closing) => {
                    free.extend(findings.closings[*closing].bits.iter().filter_map(|bit| slot_of[*bit]));
                }
            }
        }
        findings.renumber(&slot_of.iter().map(|slot| slot.unwrap_or(0)).collect::<Vec<_>>());
        Self { steps, slots, touching }
    }
}

/// For each cause, the observations whose bits it can set.
fn touching(findings: &Findings) -> Vec<Vec<usize>> {
    let of = |touches: &Vec<super::findings::Touch>| {
        let mut closings: Vec<usize> = touches.iter().filter_map(|t| t.bit.map(|b| findings.owner[b])).collect();
        closings.sort_unstable();
        closings.dedup();
        closings
    };
    findings.touches.iter().map(of).collect()
}

/// Few observations are open at a time when the one with the fewest causes left to walk is always finished first.
fn order(touching: &[Vec<usize>], closings: usize) -> Vec<Step> {
    let mut left: Vec<Vec<usize>> = vec![Vec::new(); closings];
    for (cause, of) in touching.iter().enumerate() {
        of.iter().for_each(|c| left[*c].push(cause));
    }
    let mut remaining: Vec<usize> = left.iter().map(Vec::len).collect();
    let mut walked = vec![false; touching.len()];
    let mut closed = vec![false; closings];
    let mut steps = Vec::new();
    while let Some(next) = (0..closings).filter(|c| !closed[*c]).min_by_key(|c| remaining[*c]) {
        for cause in std::mem::take(&mut left[next]) {
            if !std::mem::replace(&mut walked[cause], true) {
                steps.push(Step::Walk(cause));
                touching[cause].iter().for_each(|c| remaining[*c] -= 1);
            }
        }
        for closing in 0..closings {
            if remaining[closing] == 0 && !std::mem::replace(&mut closed[closing], true) {
                steps.push(Step::Close(closing));
            }
        }
    }
    steps
}
