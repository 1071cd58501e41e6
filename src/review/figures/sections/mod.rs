//! What is said of the figures, in the lead's words.

mod parts;

use super::chart::{Bar, Bars, Chart, Section, Table, name, number, number_on_page, word};
use crate::figures::{AGES, AgainstPlan, CheckFigure, FEW, Figures, MechanicFigure, REPEAT_HOURS, Spent, WORTH_NAMING};
use crate::job::Ending;
use crate::spread::Spread;
use crate::text::counted;

/// Rows of a table on a page.
const MOST_ROWS: usize = 40;
/// Bars of a chart.
const MOST_BARS: usize = 16;

/// Name of a column of shares.
const SHARE: &str = "share (range)";

/// How jobs stand, in the order in which they are told.
fn states() -> impl Iterator<Item = (&'static str, &'static str)> {
    let ends = Ending::ALL.into_iter().map(|ending| (ending.name(), ending.words()));
    ends.chain([("open", "open"), ("unread", "could not be read")])
}

pub(super) fn sections(figures: &Figures) -> Vec<Section> {
    let mut sections = vec![
        jobs(figures),
        causes(figures),
        parts::section(figures),
        repeats(figures),
        checks(figures),
        spent(figures),
        minutes(figures),
    ];
    sections.extend(mechanics(figures));
    sections
}

/// A share with its interval: `25 % (12-44)`; a dash of none.
fn share(of: Option<&Spread>) -> String {
    let words = |s: &Spread| format!("{:.0} % ({:.0}-{:.0})", 100.0 * s.mean, 100.0 * s.low, 100.0 * s.high);
    of.map_or_else(|| "-".to_owned(), words)
}

/// A tree's name in words: `ignition coil`.
fn plain(name: &str) -> String {
    name.replace('-', " ")
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
        (jobs > 0).then(|| vec![words.to_owned(), jobs.to_string(), share(figures.state_shares.get(name))])
    };
    let rows = states().filter_map(state).collect();
    let mut about = vec![format!("{}.", counted(all, "job"))];
    about.extend(figures.filter.words());
    if figures.left_out > 0 {
        let is = if figures.left_out == 1 { "is" } else { "are" };
        about.push(format!("{} {is} left out.", counted(figures.left_out, "practice and demonstration job")));
    }
    about.push(format!(
        "After each share its range stands in brackets, in per cent: the share that many more such jobs would come to lies in it 95 times in 100. Of fewer than {FEW} jobs, parts or answers it is wide: go by the range then, not by the share."
    ));
    let months = figures.months.iter().map(|(month, jobs)| (month.clone(), *jobs)).collect();
    Section {
        title: "Jobs".to_owned(),
        about,
        charts: vec![Chart::Months("Jobs begun, by month".to_owned(), months)],
        tables: vec![Table::new("", vec![word("how they stand"), number("jobs"), number(SHARE)], MOST_ROWS, rows)],
    }
}

fn causes(figures: &Figures) -> Section {
    let one = |(name, faults): (&str, f64)| bar(&plain(name), vec![faults], count(faults));
    let systems = figures.faults_by(|cause| &cause.system).into_iter().take(MOST_BARS).map(one).collect();
    let of_part = |(part, faults): (&str, f64)| {
        let ages = (0..AGES.len()).map(|age| {
            figures.causes.iter().filter(|cause| cause.part == part).map(|cause| cause.ages[age]).sum::<f64>()
        });
        bar(&plain(part), ages.collect(), count(faults))
    };
    let parts = figures.faults_by(|cause| &cause.part).into_iter().take(MOST_BARS).map(of_part).collect();
    let mut heads =
        vec![word("cause"), word("part"), word("system"), number("faults"), number("measured"), number("seen")];
    heads.extend(AGES.iter().map(|age| number_on_page(age)));
    let row = |cause: &crate::figures::CauseFigure| {
        let mut row = vec![cause.title.clone(), plain(&cause.part), plain(&cause.system), count(cause.faults)];
        row.extend([cause.measured.to_string(), cause.seen.to_string()]);
        row.extend(cause.ages.iter().map(|faults| if *faults > 0.0 { count(*faults) } else { String::new() }));
        row
    };
    let legend = AGES.iter().map(|age| (*age).to_owned()).collect();
    Section {
        title: "What was found".to_owned(),
        about: vec![
            "Faults that were proven, put right, or measured or seen at fault. Causes that one correction cured and nobody told apart share one fault; \"measured\" and \"seen\" count how somebody came to know of them, and what is in neither was inferred.".to_owned(),
            "Ages are quarters of a part's life, by hours or calendar; \"no life given\" is a part whose age the card has and for which the tree gives no life. They count what failed; how many parts of that age fly is not in the records.".to_owned(),
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
        name("first job"),
        name("again in job"),
    ];
    Section {
        title: format!("Came back within {REPEAT_HOURS:.0} engine hours"),
        about: vec![format!(
            "The same complaint on the same aircraft: {} of the {} whose card told the engine hours, {}.",
            repeats.found.len(),
            counted(repeats.known, "job"),
            share(repeats.share.as_ref())
        )],
        charts: Vec::new(),
        tables: vec![Table::new("", heads, MOST_ROWS, repeats.found.iter().map(row).collect())],
    }
}

fn checks(figures: &Figures) -> Section {
    let mut earning: Vec<&CheckFigure> = figures.checks.iter().filter(|check| check.changed > 0).collect();
    let cost = |check: &CheckFigure| check.minutes_a_change().unwrap_or(f64::INFINITY);
    earning.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
    let row = |check: &&CheckFigure| {
        let each = check.minutes_a_change().map(count).unwrap_or_default();
        let changed = share(check.changed_share.as_ref());
        let made = check.made.to_string();
        vec![check.title.clone(), made, format!("{:.0}", check.minutes), check.changed.to_string(), changed, each]
    };
    let heads = vec![
        word("check"),
        number("made"),
        number("minutes"),
        number("changed"),
        number(SHARE),
        number("min a change"),
    ];
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
            check.made.to_string(),
            format!("{:.0}", check.minutes),
            share(check.changed_share.as_ref()),
            format!("{:.1} %", 100.0 * check.most_moved),
        ]
    };
    let heads = vec![word("check"), number("made"), number("minutes"), number(SHARE), number("most it moved")];
    tables.push(Table::new("Never changed anything", heads, MOST_ROWS, idle.map(row).collect()));
    let split = |check: &CheckFigure| {
        let useful = check.minutes * check.changed as f64 / check.made.max(1) as f64;
        bar(&check.title, vec![useful, check.minutes - useful], format!("{:.0} min", check.minutes))
    };
    Section {
        title: "Checks".to_owned(),
        about: vec![format!(
            "An answer changed something where it put another cause in the lead or moved one by {:.0} % or more. A check that changed nothing here can still be the law, or the caution of the job; of few answers the range says how little is known. Minutes here are those of the checks alone: opening and closing stand further down.",
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
                "{} that ended cured or handed over took {:.0} minutes by the tree's figures; at their openings the planner expected {:.0}. Half took between {:.2} and {:.2} times what was expected, the middle one {:.2} times{}.",
                counted(all.jobs, "job"),
                all.worked,
                all.planned,
                all.ratio.low,
                all.ratio.high,
                all.ratio.median,
                all.ratio.median_range.map_or_else(
                    || "; of fewer than 6 no range can be given".to_owned(),
                    |(low, high)| format!(" (range {low:.2} to {high:.2})"),
                )
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
const AGAINST: [&str; 4] = ["jobs", "worked", "planned", "ratio (range)"];

fn against(of: &AgainstPlan) -> Vec<String> {
    let ratio = match of.ratio.median_range {
        _ if of.jobs == 0 => String::new(),
        None => format!("{:.2} (-)", of.ratio.median),
        Some((low, high)) => format!("{:.2} ({low:.2}-{high:.2})", of.ratio.median),
    };
    vec![of.jobs.to_string(), format!("{:.0}", of.worked), format!("{:.0}", of.planned), ratio]
}

fn spent(figures: &Figures) -> Section {
    let (spent, title) = (&figures.spent, "Where the minutes went".to_owned());
    let total = spent.total();
    if total <= 0.0 {
        return Section { title, about: vec!["No minutes yet.".to_owned()], ..Section::default() };
    }
    let part = |minutes: f64| format!("{:.0} %", 100.0 * minutes / total);
    let row = |(what, minutes): (&str, f64)| {
        let a_job = format!("{:.0}", minutes / spent.jobs.max(1) as f64);
        vec![what.to_owned(), format!("{minutes:.0}"), a_job, part(minutes)]
    };
    let heads = vec![word("what they went on"), number("minutes"), number("a job"), number("of all minutes")];
    let one = |(what, minutes): (&str, f64)| bar(what, vec![minutes], format!("{minutes:.0} min"));
    Section {
        title,
        about: vec![format!(
            "{} took {total:.0} minutes by the trees of today, open ones as far as they are. Opening and closing took {:.0} of them, {}. A quarter of the waiting counts.",
            counted(spent.jobs, "job"),
            spent.access,
            part(spent.access)
        )],
        charts: vec![Chart::Bars(Bars {
            title: "Minutes of all jobs".to_owned(),
            legend: Vec::new(),
            lines: spent.lines().map(one).into(),
        })],
        tables: vec![Table::new("", heads, MOST_ROWS, spent.lines().map(row).into())],
    }
}

/// Minutes by what they went on, in columns, and the part of opening and closing.
const SPENT: [&str; 7] = ["minutes", "access", "checks", "mending", "to show", "running", "waiting"];

fn spent_columns(spent: &Spent) -> Vec<String> {
    let whole = |minutes: f64| format!("{minutes:.0}");
    std::iter::once(whole(spent.total())).chain(spent.lines().map(|(_, minutes)| whole(minutes))).collect()
}

fn mechanics(figures: &Figures) -> Option<Section> {
    let mechanics = figures.mechanics.as_ref()?;
    let who = |of: &MechanicFigure| {
        let name = of.mechanic.as_str();
        (if name.is_empty() { "no name" } else { name }).to_owned()
    };
    let mut heads = vec![word("mechanic"), number("jobs"), number("cured"), number(SHARE), number("came back")];
    heads.extend([number_on_page(AGAINST[1]), number_on_page(AGAINST[2]), number(AGAINST[3])]);
    let row = |of: &MechanicFigure| {
        let cured = share(of.cured_share.as_ref());
        let mut row = vec![who(of), of.jobs.to_string(), of.cured.to_string(), cured, of.came_back.to_string()];
        row.extend(against(&of.minutes).into_iter().skip(1));
        row
    };
    let spent = |of: &MechanicFigure| std::iter::once(who(of)).chain(spent_columns(&of.spent)).collect();
    let spent_heads = std::iter::once(word("mechanic")).chain(SPENT.map(number)).collect();
    Some(Section {
        title: "By mechanic".to_owned(),
        about: vec![
            "Jobs differ, and nobody chooses theirs. Few jobs say nothing of a person; talk over the jobs, not the figures. \"Cured\" is counted of all jobs, its share of those closed; worked and planned are of those that ended cured or handed over.".to_owned(),
        ],
        charts: Vec::new(),
        tables: vec![
            Table::new("", heads, mechanics.len(), mechanics.iter().map(row).collect()),
            Table::new("Where the minutes went", spent_heads, mechanics.len(), mechanics.iter().map(spent).collect()),
        ],
    })
}
