//! What a screen is for, and every key that does something on it. The keys come from the action table.

use crate::tui::action::Context;
use crate::tui::app::{App, Screen};
use crate::tui::pick::Pick;
use crate::tui::table::TABLE;
use crate::tui::text::pad;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

pub(crate) fn lines(app: &App, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let below = behind(app);
    let (title, about) = below.as_ref().map_or(("Help", ""), |a| about(a.top()));
    page.row(&[(Role::Title, title.into())]);
    page.text(Role::Text, about);
    page.blank();
    let Some(below) = below else { return page.into_rows() };
    let context = below.context();
    if matches!(context, Context::Walk) {
        page.hanging(
            "",
            &(Role::Key, pad("a-z", 12)),
            Role::Text,
            "The letter beside an answer enters that answer at once.",
        );
        page.hanging("", &(Role::Key, pad("0-9 . -", 12)), Role::Text, "Begin a reading where the check takes one.");
    }
    if matches!(context, Context::Bench | Context::Choose) {
        page.hanging("", &(Role::Key, pad("1-9", 12)), Role::Text, "Take the row of this number at once.");
    }
    for row in TABLE {
        let keys: Vec<String> = row.keys_in(context).map(|k| k.to_string()).collect();
        if keys.is_empty() {
            continue;
        }
        let can = (row.enabled)(&below);
        let doc = if can { row.doc.to_owned() } else { format!("{} Not now.", row.doc) };
        let role = if can { Role::Text } else { Role::Faint };
        page.hanging("", &(Role::Key, pad(&keys.join(" "), 12)), role, &doc);
    }
    page.blank();
    page.text(Role::Faint, "Each answer goes to disk before the next is asked, and where one does not get there it is said at once. The program advises: the manufacturer's current instructions, local rules and licensed practice decide.");
    page.into_rows()
}

/// The app as it is without the help on top.
fn behind(app: &App) -> Option<App> {
    let mut stack = app.stack.clone();
    while matches!(stack.last(), Some(Screen::Help(_))) {
        stack.pop();
    }
    stack.last()?;
    let mut below = app.clone();
    (below.stack, below.notice) = (stack, None);
    Some(below)
}

fn about(screen: &Screen) -> (&'static str, &'static str) {
    match screen {
        Screen::Walk => (
            "The walk",
            "One thing to do at a time, the one that brings a proven cure closest for its minutes. Do it, then press the letter of what you saw, or type the reading. Below stand the suspects: how likely each is, and where it stands. A pass while the fault sleeps says little, so keep the conditions and whether it shows up to date. You may always do another check.",
        ),
        Screen::Intake => (
            "The intake",
            "What is known before the first check. Enter begins the job as it stands; every row has a default that does no harm.",
        ),
        Screen::Engine(_) => (
            "The engine",
            "Seen from above, nose up. Every site has the probability that something there is at fault, as a number, a shade and a colour; ! is proven, x has everything shown good. Where each cylinder stands is assumed: odd numbers right, counted from the front. The marked site's causes, readings and ages stand beside it.",
        ),
        Screen::Tree(_) => (
            "The fault tree",
            "From the complaint down to the causes, the likeliest branch first. What a look has shown good is struck and names that look. Where the last answer moved a branch, the figure before it stands there too.",
        ),
        Screen::Grid(_) => (
            "All at once",
            "One check at all its sites. Type a reading, the letter of an outcome, or a reading and a letter; Enter goes down the column. A run of readings can be pasted. Each is judged as it is typed; the odd one out is named. Nothing is entered until you say so.",
        ),
        Screen::Course(_) => (
            "The course",
            "Each letter is a cause, drawn at its probability after each answer. Left and Right go from answer to answer and say what was entered, and the minutes so far and expected then.",
        ),
        Screen::Changes(_) => {
            ("What changed", "Each cause before and after the last answer, those that moved most first.")
        }
        Screen::Review(_) => (
            "The records",
            "Every record of the folders, the newest first. Type words, or a place and a word: state:open, mechanic:kim, cause:lead, minutes:>120, since:2026-10, reviewed:no; a comma means or. Tab offers what there is to narrow by. A damaged record is listed with what is wrong; nothing is mixed or mended silently. Minutes and causes proven follow as they are worked out.",
        ),
        Screen::Replay(_) => (
            "A record walked again",
            "Each entry as it was made, with what was known then: the suspects before and after it, what the planner put first, and the minutes it cost or saved. A tick is what the planner put first, ~ something else, ! is marked for talking over: a caution skipped, a pass on a sleeping fault taken for an all-clear, a part replaced that measured good, no proof run. A mark is a question, no verdict. What you say is added to the record; nothing is overwritten.",
        ),
        Screen::Learn(_) => (
            "What the records teach",
            "The tree's figures and those learnt from closed jobs, with the interval that holds them with 95 %. Practice and demo jobs never count. Figures are offered only where they forecast the later jobs better than the tree's. Accept them row by row, then write them to a file; the trees are never changed. Today's aircraft cards give hours: roughrun review learn --aircraft.",
        ),
        Screen::Tour => ("The tour", "The keys to begin with."),
        Screen::Levels(_) => {
            ("Conditions", "What wakes a fault: heat, damp, shaking, load. Say what they are when they change.")
        }
        Screen::Card(_) => ("The whole check", "All that is known of what is in front."),
        Screen::Stands(_) => (
            "How it stands",
            "What the engine does, how warm and wet it is, what is open, and what must be closed and done before it runs and before the job ends, in order.",
        ),
        Screen::Debrief(..) => (
            "The debrief",
            "What was hidden, what you did beside what the planner would have done at each step, and the one habit to work on next. The drawing has the minutes still expected after each step: yours and the planner's on the same engine.",
        ),
        Screen::Progress(..) => (
            "Progress",
            "Practice jobs that were closed, by how hard they were and by the part at fault. They count in no figure of the shop.",
        ),
        Screen::Report(_) => (
            "The report",
            "The job written up so far: one page first, with everything behind it folded. What is copied or written is the text as it is shown. Whether a copy reaches the clipboard the terminal decides.",
        ),
        Screen::Write(..) => ("Writing", "One line of text. Pasting works."),
        Screen::Help(_) => ("Help", ""),
        Screen::Pick(pick, _) => about_list(pick),
    }
}

fn about_list(pick: &Pick) -> (&'static str, &'static str) {
    match pick {
        Pick::Bench => ("The bench", "Start a job, go on with an open one, or look at a closed record."),
        Pick::Entries => (
            "The entries",
            "Everything entered in this job. Nothing is ever erased: taking back and putting right are entries too, and the suspects are worked out anew each time.",
        ),
        Pick::Suspects | Pick::Suspect(_) => (
            "The suspects",
            "Every cause with how likely it is. Shown good: a look that would have shown it in 80 of 100 cases, under the conditions it was made in, was normal, and all else leaves it below one in ten; the look is named. Unlikely: at most half as likely as at first, because other things speak for other causes; nobody need have looked at it. Enter shows what can be done about one.",
        ),
        Pick::Checks => ("Another check", "All checks of this engine, the most telling first. Type words to search."),
        Pick::Provoke => ("Wake the fault", "Changes of conditions made on purpose. A new spell of work begins."),
        Pick::Correct => ("Put right", "All corrections, the one most likely needed first."),
        Pick::RecentWork | Pick::WorkPlace(_) => (
            "Worked on before",
            "What was worked on since the engine last ran well. It makes likelier what such work brings, and nothing else. Several can be marked; that nothing was worked on, and that nobody knows, are kept apart in the record.",
        ),
        Pick::NotToBeHad => (
            "Not to be had",
            "What is not to be had here is asked for by no check, at no site, in this job. Taking the entry back brings it back.",
        ),
        Pick::Slip { .. } => {
            ("A slip of the unit", "A figure that milli, kilo or thousandths would make ordinary is asked about.")
        }
        Pick::Sight(_) => ("Seen or looks so", "What was seen beyond doubt is certain; what only looks so is a sign."),
        Pick::SomethingElse => ("Something else", "What showed is worked on and proven gone too."),
        Pick::Showing => ("Showing now?", "Whether the complaint is there right now."),
        Pick::Ending => ("Closing", "How the job ends. It can be taken back."),
        Pick::AtSite(_) => ("At this site", "The causes and the checks of one site."),
        Pick::Narrow => (
            "Narrowing",
            "Each state, mechanic, aircraft, complaint and cause there is, with how many records have it.",
        ),
        Pick::DoubtfulEnd(..) => (
            "An end that cannot be read",
            "The last bytes of the record are no whole line. Whether they had been shown as saved cannot be known; read what is said of them first. Going on leaves them in the file and begins a line behind them.",
        ),
        Pick::Headings => ("Headings", "Where to go in the report. Those of what is folded unfold it."),
        Pick::Practise => (
            "Practise",
            "A hidden fault on an invented engine that answers what you do. Nothing is recommended unless you ask for a hint, which costs points.",
        ),
        Pick::Palette => (
            "Find",
            "A few letters of anything: a command, a check, a cause, a site. Parts of words and first letters find it too.",
        ),
        Pick::Engine | Pick::Complaint | Pick::Place(_) => ("Choosing", "Take one; Esc goes back."),
    }
}
