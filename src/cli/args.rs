//! The arguments. Their comments are the help and the manual page.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use super::look::Look;
use crate::model::Site;
use crate::shop::{self, Shop, ShopError};
use crate::study::{Level, System};
use crate::trees::Library;

/// Traces intermittent ignition faults on piston aircraft engines with two ignition systems.
///
/// Without a command it opens the screens. Follow the manufacturer's current instructions and local rules; only a person authorised to do so
/// returns the aircraft to service.
///
/// Exit codes: 0 done; 1 a fault was found in a file, or verify found damage; 2 wrong use (verify: only unfinished last lines);
/// 3 a record or a disk gave trouble, or not everything that was entered could be saved; 4 verify found nothing
/// wrong, but did not look at everything or found entries set aside.
#[derive(Debug, Parser)]
#[command(name = "roughrun", version, max_term_width = 100)]
pub(super) struct Args {
    #[command(flatten)]
    pub places: Places,
    #[command(flatten)]
    pub look: Look,
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Where trees and records are.
#[derive(Debug, clap::Args)]
pub(super) struct Places {
    /// Folder of the fault trees; those shipped in the program where left out
    #[arg(long, global = true, value_name = "DIR", env = "ROUGHRUN_TREES")]
    pub trees: Option<PathBuf>,
    /// Folder of the records; ./sessions where that is there, else this user's data folder, where left out
    #[arg(long, global = true, value_name = "DIR", env = "ROUGHRUN_RECORDS")]
    pub records: Option<PathBuf>,
    /// Overlay of figures learnt from records, as `review learn --write` makes it; the trees' own figures where left out
    #[arg(long, global = true, value_name = "FILE", env = "ROUGHRUN_LEARNT")]
    pub learnt: Option<PathBuf>,
    /// The shop's labour rate and prices; ./shop.yaml where that is there, else shop.yaml beside this user's records
    #[arg(long = "shop", global = true, value_name = "FILE", env = "ROUGHRUN_SHOP")]
    pub prices: Option<PathBuf>,
}

impl Places {
    /// The trees in use.
    pub(super) fn library(&self) -> Result<Library, ShopError> {
        shop::library(self.trees.as_deref(), self.learnt.as_deref())
    }

    /// The shop on those trees, records and prices.
    pub(super) fn shop(&self) -> Result<Shop, ShopError> {
        Shop::with(self.library()?, self.records.as_deref())?.with_prices(self.prices.as_deref())
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Start a job
    Trace(Trace),
    /// Go on with an open job
    Resume(Resume),
    /// Practise on an engine whose fault is hidden
    ///
    /// The engine answers each check with a reading or what is to be seen. Nothing is recommended unless a hint is asked for. The same number
    /// gives the same job, so that a class can do the same one. The record is marked as practice: it counts in no figure of the shop.
    Practise(Practise),
    /// Work an evidence file out: ranked causes and next actions, no questions
    Diagnose(Diagnose),
    /// Write a job up
    Report(Report),
    /// Show which parts are due, overdue or unknown, by hours and by calendar
    ///
    /// The ages come from the cards, the lives from the trees; the current manual and the maintenance programme decide.
    Due(Due),
    /// Compare what the ways to put a cause right cost for the hours they leave, with the sums
    Cost(Cost),
    /// Check every hash and chain of records
    ///
    /// It finds a line that was changed, left out, put in, doubled or moved, and names its file and line. It cannot know by itself that whole
    /// lines were cut off the end, or that a file was written anew with all its hashes: for that, hold the head on a printed report against it
    /// with --head. It says nothing about who made an entry, or whether what was entered is true.
    Verify(Verify),
    /// For the shop lead: all records on the screens, one walked again step by step, as tables, and what the closed jobs teach
    ///
    /// Without a command it opens the screens on the records of the folders given.
    #[command(args_conflicts_with_subcommands = true)]
    Review {
        /// Folders of records; the records folder where left out
        folders: Vec<PathBuf>,
        #[command(subcommand)]
        command: Option<Review>,
    },
    /// For authors of trees: faults in the files, what is in them, a drawing
    #[command(subcommand)]
    Tree(Tree),
    /// Print completions for a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the manual page
    Man {
        /// A command, for a page of its own
        command: Option<String>,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct Trace {
    /// Name of the engine's layout, or path of a layout file
    #[arg(long)]
    pub layout: Option<String>,
    /// Name of the complaint
    #[arg(long)]
    pub complaint: Option<String>,
    /// Where the complaint is: engine, left, right, left coil A, cylinder 3 or left 3
    #[arg(long)]
    pub at: Option<Site>,
    /// The aircraft's card
    #[arg(long, value_name = "FILE")]
    pub aircraft: Option<PathBuf>,
    /// Who works the job
    #[arg(long, value_name = "NAME")]
    pub mechanic: Option<String>,
    /// Ask line by line on standard input and output: for screen readers, pipes and scripts
    #[arg(long)]
    pub plain: bool,
}

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Practise {
    #[command(subcommand)]
    pub what: Option<Practised>,
    /// Name of the engine's layout, or path of a layout file; one by the seed where left out
    #[arg(long)]
    pub layout: Option<String>,
    /// The number that the job is dealt by; a new one where left out
    #[arg(long)]
    pub seed: Option<u64>,
    /// How hard
    #[arg(long, value_parser = level, value_name = "LEVEL", help = LEVELS)]
    pub level: Option<Level>,
    /// The kind of system the fault is on: magneto or electronic
    #[arg(long, value_parser = system, value_name = "SYSTEM")]
    pub on: Option<System>,
    /// Name of the complaint; the commoner the likelier where left out
    #[arg(long)]
    pub complaint: Option<String>,
    /// The next job of a graded set
    #[arg(long, value_name = "NAME", conflicts_with_all = ["layout", "seed", "level", "on", "complaint", "lesson", "from"])]
    pub set: Option<String>,
    /// A lesson: one idea, explained by a short job
    #[arg(long, value_name = "NAME", conflicts_with_all = ["layout", "seed", "level", "on", "complaint", "from"])]
    pub lesson: Option<String>,
    /// Play a closed job again as the mechanic met it
    #[arg(long, value_name = "ID", conflicts_with_all = ["layout", "seed", "level", "on", "complaint"])]
    pub from: Option<String>,
    /// Who practises
    #[arg(long, value_name = "NAME", default_value = "")]
    pub by: String,
    /// Ask line by line on standard input and output: for screen readers, pipes and scripts
    #[arg(long)]
    pub plain: bool,
    /// List the sets and lessons
    #[arg(long)]
    pub list: bool,
}

/// What the levels are, for the help.
const LEVELS: &str = "How hard: awake (one fault, always awake), asleep (one fault, asleep when work begins), look-alike (not ignition), \
     not-cured (a correction that does not cure), two (two faults at once), any (as they come in)";

fn level(name: &str) -> Result<Level, String> {
    let names: Vec<&str> = Level::ALL.iter().map(|level| level.name()).collect();
    Level::parse(name).ok_or_else(|| format!("the levels are {}", names.join(", ")))
}

fn system(name: &str) -> Result<System, String> {
    match name {
        "magneto" => Ok(System::Magneto),
        "electronic" => Ok(System::Electronic),
        _ => Err("the systems are magneto and electronic".to_owned()),
    }
}

#[derive(Debug, Subcommand)]
pub(super) enum Practised {
    /// Say how a practice job went, step by step beside the planner
    Debrief {
        /// The job: its name, the beginning of it, or last
        id: String,
        /// Print JSON for programs
        #[arg(long)]
        json: bool,
    },
    /// Say how somebody gets on, by kind of fault
    Progress {
        /// Only the jobs of this name
        #[arg(long, value_name = "NAME")]
        by: Option<String>,
        /// Print JSON for programs
        #[arg(long)]
        json: bool,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct Resume {
    /// The job: its name or the beginning of it; where left out the open job worked on last, unless a record needs a
    /// look first
    pub id: Option<String>,
    /// Where the job parts or is damaged: the hash (8 characters or more) of the line to go on from
    #[arg(long, value_name = "HASH")]
    pub head: Option<String>,
    /// Ask line by line on standard input and output
    #[arg(long)]
    pub plain: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Diagnose {
    /// The evidence file
    pub evidence: PathBuf,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    Text,
    Html,
    Json,
}

#[derive(Debug, clap::Args)]
pub(super) struct Report {
    /// The job: its name, the beginning of it, or last
    pub id: String,
    /// How it is written
    #[arg(long, value_enum, default_value = "text")]
    pub format: Format,
    /// Who reads it; JSON always holds everything
    #[arg(long = "for", value_enum, default_value = "shop")]
    pub reader: Reader,
    /// Print everything, not the page alone
    #[arg(long)]
    pub whole: bool,
}

/// Who reads a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Reader {
    /// The shop: a page, and behind it everything
    Shop,
    /// The owner: a letter in plain sentences
    Owner,
    /// The aircraft's record: the page with a draft entry, not signed, and behind it the readings
    Record,
}

#[derive(Debug, clap::Args)]
pub(super) struct Due {
    /// An aircraft's card, or a folder of them
    pub path: PathBuf,
    /// Engine hours ahead in which a part counts as due
    #[arg(long, default_value_t = 50.0, value_name = "HOURS")]
    pub hours: f64,
    /// Days ahead in which a part counts as due
    #[arg(long, default_value_t = 91.0, value_name = "DAYS")]
    pub days: f64,
    /// List the parts that are due later too
    #[arg(long)]
    pub all: bool,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Cost {
    /// The cause, by its name in the tree or by its title
    pub cause: String,
    /// Where: engine, left, right, left coil A, cylinder 3 or left 3; its first site where left out
    #[arg(long)]
    pub at: Option<Site>,
    /// The aircraft's card
    #[arg(long, value_name = "FILE")]
    pub aircraft: Option<PathBuf>,
    /// Name of the engine's layout, or path of a layout file, where there is no card
    #[arg(long)]
    pub layout: Option<String>,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Verify {
    /// A file of a record or a folder of records; the records folder where left out
    pub path: Option<PathBuf>,
    /// Hold a head against it: the hash (8 characters or more) that a printed report names
    #[arg(long, value_name = "HASH")]
    pub head: Option<String>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Review {
    /// Walk a job again: what was known, what was recommended, what was done in its place, and what that cost or saved
    ///
    /// Marked for talking over are a caution skipped, a pass taken for an all-clear while the complaint did not show, a part replaced that
    /// had measured good or turns out to have been, and a job closed without a passed proof run.
    Replay(Replay),
    /// Add a remark to a job, or to one entry of it; it is an entry of the record too
    ///
    /// The words come from standard input where none are given.
    Remark(Remark),
    /// Mark a job as gone through; the mark is an entry of the record too
    Mark(Mark),
    /// Learn rates, misses and false alarms from closed jobs, and say how good the forecasts were
    ///
    /// Only jobs whose fault was proven count: seen by eye or by a finding that proves it 1, complaint gone with the correction and
    /// not back after 50 engine hours 0.7, gone in one proof run 0.3. Practice and demo jobs never count. Figures are adopted only where
    /// they forecast the later jobs better than the tree by more than two standard errors. Nothing is written without --write; what is
    /// written is an overlay for --learnt, to be read and kept under version control. The trees themselves are never changed.
    Learn(Learn),
    /// List all records of one or more folders, newest first
    ///
    /// A damaged record is listed with what is wrong and what could be read. A job that is in several folders is one row, which says whether
    /// the copies are alike or go on in different ways. An index in the user's cache folder makes it quick; it may be deleted at any time.
    List(List),
    /// Write jobs, entries, readings and causes as plain tables, CSV and JSON Lines, for a query engine or a spreadsheet
    ///
    /// The tables are in folders by year and month as query engines read them; SCHEMA.md beside them says what each column means.
    /// Nothing in a cell can run as a formula. Practice and demonstration jobs are left out unless they are asked for, and marked.
    Export(Export),
    /// Count the shop's jobs: what fails where and at what age, which parts were measured and which came off good, what comes back, which
    /// checks earn their time, where the minutes went, and minutes against the planner's
    ///
    /// As text with charts, as one HTML page that opens offline and prints, or as JSON. Money is that of the shop's price list, and is given
    /// only where that has the price. Every share stands with the range it lies in with 95 %. Practice and demonstration jobs are left out
    /// unless they are asked for.
    Figures(Figures),
}

/// Which jobs are asked for.
#[derive(Debug, clap::Args)]
pub(super) struct Only {
    /// Only jobs begun on this day or later, by the date where they were begun: 2026-11-25, or a month or year
    #[arg(long, value_name = "DAY")]
    pub from: Option<String>,
    /// Only jobs begun on this day or earlier; a month or year goes to its end
    #[arg(long, value_name = "DAY")]
    pub to: Option<String>,
    /// Only jobs on the aircraft of this registration; several with commas
    #[arg(long, value_name = "MARKS", value_delimiter = ',')]
    pub aircraft: Vec<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct Figures {
    /// Folders of records; the records folder where left out
    pub folders: Vec<PathBuf>,
    #[command(flatten)]
    pub only: Only,
    /// By mechanic too
    #[arg(long)]
    pub by_mechanic: bool,
    /// Practice and demonstration jobs too
    #[arg(long)]
    pub practice: bool,
    /// How they are written
    #[arg(long, value_enum, default_value = "text")]
    pub format: FiguresFormat,
    /// Write them to this file
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Draw the text's charts in plain ASCII
    #[arg(long)]
    pub ascii: bool,
}

/// How figures are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum FiguresFormat {
    Text,
    Json,
    Html,
}

/// The forms of an export.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// CSV, for spreadsheets
    Csv,
    /// JSON Lines
    Jsonl,
}

#[derive(Debug, clap::Args)]
pub(super) struct Replay {
    /// The job: its name, the beginning of it, or last
    pub id: String,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Remark {
    /// The job: its name, the beginning of it, or last
    pub id: String,
    /// The words; read from standard input where left out
    pub words: Vec<String>,
    /// Number of the entry it is about; the whole job where left out
    #[arg(long, value_name = "ENTRY")]
    pub of: Option<u64>,
    /// Who makes it
    #[arg(long, value_name = "NAME")]
    pub by: String,
}

#[derive(Debug, clap::Args)]
pub(super) struct Mark {
    /// The job: its name, the beginning of it, or last
    pub id: String,
    /// Who went through it
    #[arg(long, value_name = "NAME")]
    pub by: String,
}

#[derive(Debug, clap::Args)]
pub(super) struct List {
    /// Folders of records; the records folder where left out
    pub folders: Vec<PathBuf>,
    #[command(flatten)]
    pub only: Only,
    /// Only rows that hold these words; mechanic:kim cause:lead minutes:>120 since:2026-10 look in one place each, and so do
    /// aircraft, layout, complaint, id, state, purpose, reviewed, clock and until
    #[arg(long, value_name = "TEXT")]
    pub search: Option<String>,
    /// Only jobs that stand so: open, closed, cured, not-cured, not-proven, handed-over, not-found, not-reproduced, stopped, not-read, damaged, parted, torn or whole
    #[arg(long, value_name = "STATE", value_delimiter = ',')]
    pub state: Vec<String>,
    /// Work out the minutes and the causes proven of every job that the index does not know them of yet, which takes a while
    #[arg(long)]
    pub worked: bool,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Export {
    /// The folder to write: a new or an empty one
    #[arg(value_name = "DIR", required_unless_present = "schema")]
    pub folder: Option<PathBuf>,
    /// Folders of records; the records folder where left out
    #[arg(value_name = "FOLDER")]
    pub records_folders: Vec<PathBuf>,
    #[command(flatten)]
    pub only: Only,
    /// Practice and demonstration jobs too
    #[arg(long)]
    pub practice: bool,
    /// Write one of the two forms alone
    #[arg(long, value_enum, value_name = "FORM")]
    pub form: Option<Form>,
    /// Print the schema of the tables and write nothing
    #[arg(long)]
    pub schema: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct Learn {
    /// Folders of records; the records folder where left out
    pub folders: Vec<PathBuf>,
    /// Only jobs on this layout
    #[arg(long)]
    pub layout: Option<String>,
    /// Today's cards of aircraft: their engine hours since the first record are the exposure of their later jobs
    #[arg(long, value_name = "CARD", num_args = 1..)]
    pub aircraft: Vec<PathBuf>,
    /// Write what is adopted to this file, as an overlay for --learnt
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Subcommand)]
pub(super) enum Tree {
    /// Say what is wrong with trees, layouts and aircraft cards, where, and how to mend it
    ///
    /// A tree without faults is looked at as an experienced mechanic would: warnings are causes that no check tells apart, checks that
    /// never change a decision, complaints that do not add up, hazards left unsaid, sleepers that nothing wakes, odd figures, and
    /// names that nothing uses. An `allow:` in the tree excepts a warning with a reason.
    Lint {
        /// A trees folder, or files; the trees in use where left out
        paths: Vec<PathBuf>,
        /// End with exit code 1 on warnings too
        #[arg(long)]
        strict: bool,
        /// Print JSON for programs
        #[arg(long)]
        json: bool,
    },
    /// Show what is in the trees
    Show {
        /// A name: all that its declaration says
        name: Option<String>,
        /// Print JSON for programs
        #[arg(long)]
        json: bool,
        /// What a layout makes of it, site by site
        #[arg(long)]
        layout: Option<String>,
    },
    /// Print the table of sources: documents, paragraphs, and what has no published source
    Sources {
        /// Print JSON for programs
        #[arg(long)]
        json: bool,
    },
    /// Draw the fault tree of a layout: each complaint with what brings it
    Graph {
        /// The layout; the first one where left out
        #[arg(long)]
        layout: Option<String>,
        /// Only what brings this complaint
        #[arg(long)]
        complaint: Option<String>,
        /// One node for every site, not one for all sites alike
        #[arg(long)]
        sites: bool,
        /// How it is written
        #[arg(long, value_enum, default_value = "dot")]
        format: Drawing,
    },
    /// Print the JSON Schema of a kind of file, for editors that complete and check it
    Schema {
        /// The kind of file
        #[arg(value_enum, default_value = "tree")]
        kind: SchemaOf,
    },
    /// Draw faults, work the jobs by several ways, and report minutes to a proven cure
    ///
    /// Each job draws one, two or three faults, awake or asleep, by the tree's own rates, and is worked by the planner, by the printed order
    /// of checks, by most probable first, and by the planner believing that a pass clears, all on the same engine. A job closed too early
    /// comes back for 120 minutes; after 6 come-backs or 240 steps it is unresolved and charged 300 minutes more. A pass clears what its
    /// check shows at least 80 % of the time; a failed proof run opens everything again. The planner is also held against
    /// the optimum on small generated trees. Control-C stops and prints what is done so far.
    Simulate(Simulate),
}

/// How a fault tree is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Drawing {
    /// For programs that lay graphs out
    Dot,
    /// A picture for a browser
    Svg,
}

/// The kinds of file that have a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum SchemaOf {
    Tree,
    Layout,
    Aircraft,
    Shop,
    Learnt,
    Practice,
}

#[derive(Debug, clap::Args)]
pub(super) struct Simulate {
    /// Number of jobs
    #[arg(long, default_value_t = 200, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    pub jobs: u64,
    /// Seed: the same seed gives the same jobs and the same figures
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
    /// Name of a layout, or path of a layout file; all layouts in turn where left out
    #[arg(long)]
    pub layout: Option<String>,
    /// Name of a complaint; the commoner the likelier where left out
    #[arg(long)]
    pub complaint: Option<String>,
    /// Print JSON for programs
    #[arg(long)]
    pub json: bool,
    /// Write each job with its scores to this file, one JSON object a line
    #[arg(long, value_name = "FILE")]
    pub each: Option<PathBuf>,
}
