//! What is said of the figures, in the lead's words.

use super::chart::{Bar, Bars, Chart, Section, Table, number, number_on_page, word};
use crate::figures::{AGES, AgainstPlan, CheckFigure, Figures, REPEAT_HOURS, WORTH_NAMING};
use crate::job::Ending;

/// Rows of a table on a page.
const MOST_ROWS: usize = 40;
/// Bars of a chart.
const MOST_BARS: usize = 16;
/// Answers below which a check's figures say little.
const FEW: usize = 5;

/// How jobs stand, in the order in which they are told.
fn states() -> impl Iterator<Item = (&'static str, &'static str)> {
    let ends = Ending::ALL.into_iter().map(|ending| (ending.name(), ending.words()));
    ends.chain([("open", "open"), ("unread", "could not be read")])
}

pub(super) fn sections(figures: &Figures) -> Vec<Section> {
    let mut sections = vec![jobs(figures), causes(figures), repeats(figures), checks(figures), minutes(figures)];
    sections.extend(mechanics(figures));
    sections
}

fn share(part: usize, of: usize) -> String {
    if of == 0 { "-".to_owned() } else { format!("{:.0} %", 100.0 * part as f64 / of as f64) }
}

/// With one digit, but none where it is a whole number.
fn count(number: f64) -> String {
    if (number - number.round()).abs() < 0.05 { format!("{number:.0}") } else { format!("{number:.1}") }
}

fn bar(label: &str, parts: Vec<f64>, note: String) -> Bar {
    Bar { label: label.to_owned(), parts, note }
}

fn jobs(figures: &Figures) -> Section {
    let all = figures.jobs();
    let state = |(name, words): (&str, &str)| {
        let jobs = figures.in_state(name);
        (jobs > 0).then(|| vec![words.to_owned(), jobs.to_string(), share(jobs, all)])
    };
    let rows = states().filter_map(state).collect();
    let mut about = vec![format!("{all} jobs.")];
    if figures.left_out > 0 {
        about.push(format!("{} practice and demonstration jobs are left out.", figures.left_out));
    }
    let months = figures.months.iter().map(|(month, jobs)| (month.clone(), *jobs)).collect();
    Section {
        title: "Jobs".to_owned(),
        about,
        charts: vec![Chart::Months("Jobs begun, by month".to_owned(), months)],
        tables: vec![Table::new("", vec![word("how they stand"), number("jobs"), number("share")], MOST_ROWS, rows)],
    }
}

fn causes(figures: &Figures) -> Section {
    let one = |(name, faults): (&str, f64)| bar(name, vec![faults], count(faults));
    let systems = figures.faults_by(|cause| &cause.system).into_iter().take(MOST_BARS).map(one).collect();
    let of_part = |(part, faults): (&str, f64)| {
        let ages = (0..AGES.len()).map(|age| {
            figures.causes.iter().filter(|cause| cause.part == part).map(|cause| cause.ages[age]).sum::<f64>()
        });
        bar(part, ages.collect(), count(faults))
    };
    let parts = figures.faults_by(|cause| &cause.part).into_iter().take(MOST_BARS).map(of_part).collect();
    let mut heads = vec![word("cause"), word("part"), word("system"), number("faults"), number("seen")];
    heads.extend(AGES.iter().map(|age| number_on_page(age)));
    let row = |cause: &crate::figures::CauseFigure| {
        let mut row = vec![cause.title.clone(), cause.part.clone(), cause.system.clone(), count(cause.faults)];
        row.push(cause.seen.to_string());
        row.extend(cause.ages.iter().map(|faults| if *faults > 0.0 { count(*faults) } else { String::new() }));
        row
    };
    let legend = AGES.iter().map(|age| (*age).to_owned()).collect();
    Section {
        title: "What was found".to_owned(),
        about: vec![
            "Faults that were proven or put right. Causes that one correction cured and nobody told apart share one fault; \"seen\" counts those that somebody saw.".to_owned(),
            "Ages are quarters of a part's life, by hours or calendar. They count what failed; how many parts of that age fly is not in the records.".to_owned(),
        ],
        charts: vec![
            Chart::Bars(Bars { title: "Faults by kind of system".to_owned(), legend: Vec::new(), lines: systems }),
            Chart::Bars(Bars { title: "Faults by part, and its age".to_owned(), legend, lines: parts }),
        ],
        tables: vec![Table::new("Causes", heads, MOST_ROWS, figures.causes.iter().map(row).collect())],
    }
}

fn repeats(figures: &Figures) -> Section {
    let repeats = &figures.repeats;
    let row = |r: &crate::figures::Repeat| {
        let complaint = format!("{}, {}", r.complaint, r.at);
        vec![r.aircraft.clone(), complaint, count(r.hours), r.first_state.clone(), r.first.clone(), r.again.clone()]
    };
    let heads = vec![
        word("aircraft"),
        word("complaint"),
        number("hours"),
        word("first ended"),
        word("first job"),
        word("again in job"),
    ];
    Section {
        title: format!("Came back within {REPEAT_HOURS:.0} engine hours"),
        about: vec![format!(
            "The same complaint on the same aircraft: {} of the {} jobs whose card told the engine hours ({}).",
            repeats.found.len(),
            repeats.known,
            share(repeats.found.len(), repeats.known)
        )],
        charts: Vec::new(),
        tables: vec![Table::new("", heads, MOST_ROWS, repeats.found.iter().map(row).collect())],
    }
}

fn checks(figures: &Figures) -> Section {
    let few = |check: &CheckFigure| if check.made < FEW { " (few)" } else { "" };
    let made = |check: &CheckFigure| format!("{}{}", check.made, few(check));
    let mut earning: Vec<&CheckFigure> = figures.checks.iter().filter(|check| check.changed > 0).collect();
    let cost = |check: &CheckFigure| check.minutes_a_change().unwrap_or(f64::INFINITY);
    earning.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
    let row = |check: &&CheckFigure| {
        let each = check.minutes_a_change().map(count).unwrap_or_default();
        let changed = format!("{} ({})", check.changed, share(check.changed, check.made));
        vec![check.title.clone(), made(check), format!("{:.0}", check.minutes), changed, each]
    };
    let heads =
        vec![word("check"), number("made"), number("minutes"), number("changed something"), number("minutes a change")];
    let mut tables = vec![Table::new(
        "Minutes for each answer that changed something, the cheapest first",
        heads,
        MOST_ROWS,
        earning.iter().map(row).collect(),
    )];
    let idle = figures.checks.iter().filter(|check| check.never_changed());
    let row = |check: &CheckFigure| {
        vec![
            check.title.clone(),
            made(check),
            format!("{:.0}", check.minutes),
            format!("{:.1} %", 100.0 * check.most_moved),
        ]
    };
    let heads = vec![word("check"), number("made"), number("minutes"), number("most that it moved")];
    tables.push(Table::new("Never changed anything", heads, MOST_ROWS, idle.map(row).collect()));
    let split = |check: &CheckFigure| {
        let useful = check.minutes * check.changed as f64 / check.made.max(1) as f64;
        bar(&check.title, vec![useful, check.minutes - useful], format!("{:.0} min", check.minutes))
    };
    Section {
        title: "Checks".to_owned(),
        about: vec![format!(
            "An answer changed something where it put another cause in the lead or moved one by {:.0} % or more. A check that changed nothing here can still be the law, or the caution of the job; fewer than {FEW} answers say little.",
            100.0 * WORTH_NAMING
        )],
        charts: vec![Chart::Bars(Bars {
            title: "Where the minutes of checks went".to_owned(),
            legend: vec!["changed something".to_owned(), "changed nothing".to_owned()],
            lines: figures.checks.iter().take(MOST_BARS).map(split).collect(),
        })],
        tables,
    }
}

fn minutes(figures: &Figures) -> Section {
    let title = "Minutes against the planner's".to_owned();
    let Some(all) = &figures.minutes.all else {
        let none = "No job that ended cured or handed over has both figures yet.".to_owned();
        return Section { title, about: vec![none], ..Section::default() };
    };
    let bars = figures.minutes.complaints.iter().take(MOST_BARS / 2).flat_map(|of| {
        let mean = |minutes: f64| minutes / of.jobs.max(1) as f64;
        let named = |what| format!("{}: {what}", of.complaint);
        [
            bar(&named("planned"), vec![mean(of.planned), 0.0], format!("{:.0} min", mean(of.planned))),
            bar(&named("worked"), vec![0.0, mean(of.worked)], format!("{:.0} min", mean(of.worked))),
        ]
    });
    let row = |of: &AgainstPlan| {
        let mut row = vec![of.complaint.clone()];
        row.extend(against(of));
        row
    };
    let mut heads = vec![word("complaint")];
    heads.extend(AGAINST.map(number));
    Section {
        title,
        about: vec![
            format!(
                "{} jobs that ended cured or handed over took {:.0} minutes by the tree's figures; at their openings the planner expected {:.0}. Half took between {:.2} and {:.2} times what was expected, the middle one {:.2} times.",
                all.jobs, all.worked, all.planned, all.ratio.low, all.ratio.high, all.ratio.median
            ),
            "Over many jobs the two sums agree where the trees' rates fit this shop; one job tells nothing.".to_owned(),
        ],
        charts: vec![Chart::Bars(Bars {
            title: "Mean minutes a job".to_owned(),
            legend: vec!["planned".to_owned(), "worked".to_owned()],
            lines: bars.collect(),
        })],
        tables: vec![Table::new("", heads, MOST_ROWS, figures.minutes.complaints.iter().map(row).collect())],
    }
}

/// Names of the columns of [`against`].
const AGAINST: [&str; 4] = ["jobs", "worked", "planned", "middle ratio"];

fn against(of: &AgainstPlan) -> Vec<String> {
    let ratio = if of.jobs == 0 { String::new() } else { format!("{:.2}", of.ratio.median) };
    vec![of.jobs.to_string(), format!("{:.0}", of.worked), format!("{:.0}", of.planned), ratio]
}

fn mechanics(figures: &Figures) -> Option<Section> {
    let mechanics = figures.mechanics.as_ref()?;
    let mut heads = vec![word("mechanic"), number("all jobs"), number("cured"), number("came back")];
    heads.extend(AGAINST.map(number));
    let row = |of: &crate::figures::MechanicFigure| {
        let name = if of.mechanic.is_empty() { "no name" } else { &of.mechanic };
        let mut row = vec![name.to_owned(), of.jobs.to_string(), of.cured.to_string(), of.came_back.to_string()];
        row.extend(against(&of.minutes));
        row
    };
    Some(Section {
        title: "By mechanic".to_owned(),
        about: vec![
            "Jobs differ, and nobody chooses theirs. Few jobs say nothing of a person; talk over the jobs, not the figures.".to_owned(),
        ],
        charts: Vec::new(),
        tables: vec![Table::new("", heads, mechanics.len(), mechanics.iter().map(row).collect())],
    })
}
