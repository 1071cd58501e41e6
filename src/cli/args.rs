//! The arguments. Their comments are the help and the manual page.

use std::path::PathBuf;

use clap::{Parser, Subcommand, ValueEnum};
use clap_complete::Shell;

use super::look::Look;
use crate::model::Site;

/// Traces intermittent ignition faults on piston aircraft engines with two ignition systems.
///
/// Without a command it opens the screens. Follow the manufacturer's current instructions and local rules; only a person authorised to do so
/// returns the aircraft to service.
///
/// Exit codes: 0 done; 1 a fault was found in a file, or verify found damage; 2 wrong use (verify: only unfinished last lines);
/// 3 a record or a disk gave trouble.
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
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Start a job
    Trace(Trace),
    /// Go on with an open job
    Resume(Resume),
    /// Work an evidence file out: ranked causes and next actions, no questions
    Diagnose(Diagnose),
    /// Write a job up
    Report(Report),
    /// Check every hash and chain of records
    Verify(Verify),
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
pub(super) struct Resume {
    /// The job: its name or the beginning of it; the open job worked on last where left out
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
}

#[derive(Debug, clap::Args)]
pub(super) struct Verify {
    /// A file of a record or a folder of records; the records folder where left out
    pub path: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
pub(super) enum Tree {
    /// Say what is wrong with trees, layouts and aircraft cards, where, and how to mend it
    Lint {
        /// A trees folder, or files; the trees in use where left out
        paths: Vec<PathBuf>,
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
    /// Print the fault tree of a layout as a graph in DOT
    Graph {
        /// The layout; the first one where left out
        #[arg(long)]
        layout: Option<String>,
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
