//! What can be done on the screens, and where keys mean what they mean.
//!
//! Must not know the state, nor how anything is carried out.

/// Something that is done on a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Action {
    /// Choose what to practise.
    Practise,
    /// How somebody gets on in practice.
    Progress,
    /// In practice: ask for the suggestion and the probabilities.
    Hint,
    /// In practice: say what is suspected.
    Suspect,
    /// Leave the program.
    Leave,
    /// Explain this screen.
    Help,
    /// One step back.
    Back,
    /// The row above.
    Up,
    /// The row below.
    Down,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// The first row.
    First,
    /// The last row.
    Last,
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Take what is marked.
    Enter,
    /// Take the last entry back.
    Undo,
    /// Take the marked entry back.
    TakeBack,
    /// Choose another check.
    Others,
    /// Say that conditions changed.
    Conditions,
    /// Say whether it shows now.
    Showing,
    /// Provoke the fault.
    Provoke,
    /// Put something right.
    Correct,
    /// Make the proof run.
    Proof,
    /// The check cannot be made here.
    NotPossible,
    /// A tool, a gauge or a way to provoke it is not to be had.
    NotToBeHad,
    /// After a pause it is still as it was.
    Still,
    /// Show how the aircraft stands.
    Stands,
    /// Make the check anew whose answer does not fit.
    LookAgain,
    /// Pass over for now.
    Skip,
    /// Write a note.
    Note,
    /// Close the job.
    Close,
    /// Show the write-up.
    Report,
    /// Unfolds the write-up, or folds it to its page.
    Unfold,
    /// Search the write-up.
    Search,
    /// To the next place that has what is searched.
    NextFound,
    /// To the place before that has what is searched.
    FoundBefore,
    /// To the next heading.
    NextHeading,
    /// To the heading before.
    HeadingBefore,
    /// List the headings.
    Headings,
    /// Write the write-up to a file.
    SaveReport,
    /// Hand the write-up to the clipboard of the terminal.
    Copy,
    /// Show the entries.
    Timeline,
    /// Show the whole check.
    Card,
    /// Show all suspects.
    Suspects,
    /// Begin a reading.
    Reading,
    /// Show the engine.
    Engine,
    /// Show the fault tree.
    Tree,
    /// Answer one check at all its sites.
    Bulk,
    /// Show how the suspicion moved.
    Course,
    /// Show what the last entry changed.
    Changes,
    /// Find anything by a few letters.
    Palette,
    /// Large letters on or off.
    Big,
    /// Choose the site of a check on the engine.
    Where,
    /// Enter all that is in the grid.
    SaveAll,
    /// A row is pressed: it is marked; marked already, it is taken.
    Point(usize),
    /// A site of the engine is pressed.
    PointSite(crate::model::Site),
    /// A cell of the grid is pressed: row and column.
    PointCell(usize, usize),
    /// A caution was read.
    Acknowledge,
    /// Show the records, for the lead.
    Review,
    /// Show what the records teach.
    Learn,
    /// Choose what to narrow the list by.
    Narrow,
    /// Remark on the entry in front.
    Remark,
    /// Remark on the whole job.
    RemarkOnJob,
    /// Mark the job as gone through.
    Reviewed,
    /// To the next mark for talking over.
    NextMark,
    /// To the mark before.
    MarkBefore,
    /// Accept the marked figure, or not.
    Accept,
    /// Accept all figures that may be.
    AcceptAll,
    /// Write what is accepted to a file.
    WriteOut,
    /// Stop what is being worked out.
    StopWork,
    /// Stop the program for now.
    Suspend,
    /// Take a character away.
    Backspace,
    /// Take the next character away.
    Delete,
    /// Draw the screen anew.
    Redraw,
    /// The answer with this place.
    Choice(usize),
    /// The row with this number.
    Nth(usize),
    /// A character is typed.
    Type(char),
    /// A text is pasted.
    Paste(String),
}

/// Where keys mean what they mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Context {
    /// The bench.
    Bench,
    /// A short list with numbers.
    Choose,
    /// A long list that is searched by typing.
    Search,
    /// The list of entries.
    Entries,
    /// The intake, on a row of choices.
    Form,
    /// The intake, on a row that is written in.
    FormText,
    /// The walk.
    Walk,
    /// The walk, with a reading being typed.
    Reading,
    /// The walk, with a judged reading shown.
    Verdict,
    /// A caution.
    Caution,
    /// Conditions.
    Levels,
    /// A page to read.
    Page,
    /// The write-up.
    Report,
    /// The write-up, with a search being typed.
    ReportSearch,
    /// A line to write.
    Write,
    /// The engine.
    Engine,
    /// The fault tree.
    Tree,
    /// The grid.
    Grid,
    /// How the suspicion moved.
    Course,
    /// The tour.
    Tour,
    /// The records, for the lead.
    Review,
    /// A record walked again.
    Replay,
    /// What the records teach.
    Learn,
}

impl Context {
    /// All of them.
    pub const ALL: [Self; 23] = [
        Self::Bench,
        Self::Choose,
        Self::Search,
        Self::Entries,
        Self::Form,
        Self::FormText,
        Self::Walk,
        Self::Reading,
        Self::Verdict,
        Self::Caution,
        Self::Levels,
        Self::Page,
        Self::Report,
        Self::ReportSearch,
        Self::Write,
        Self::Engine,
        Self::Tree,
        Self::Grid,
        Self::Course,
        Self::Tour,
        Self::Review,
        Self::Replay,
        Self::Learn,
    ];

    /// Whether characters are text here, and so no commands.
    #[must_use]
    pub fn types(self) -> bool {
        matches!(
            self,
            Self::Search
                | Self::FormText
                | Self::Reading
                | Self::Write
                | Self::Grid
                | Self::Review
                | Self::ReportSearch
        )
    }

    /// Its name on the key page.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Bench => "the bench",
            Self::Choose => "short lists",
            Self::Search => "lists searched by typing",
            Self::Entries => "the entries",
            Self::Form => "the intake",
            Self::FormText => "the intake, in a text",
            Self::Walk => "the walk",
            Self::Reading => "typing a reading",
            Self::Verdict => "a judged reading",
            Self::Caution => "a caution",
            Self::Levels => "conditions",
            Self::Page => "pages to read",
            Self::Report => "the report",
            Self::ReportSearch => "searching the report",
            Self::Write => "writing a line",
            Self::Engine => "the engine",
            Self::Tree => "the fault tree",
            Self::Grid => "the grid",
            Self::Course => "the course",
            Self::Tour => "the tour",
            Self::Review => "the records",
            Self::Replay => "a record walked again",
            Self::Learn => "what the records teach",
        }
    }
}
