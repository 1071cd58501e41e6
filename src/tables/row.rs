//! What a table is: columns with a type and a meaning, and rows of cells in their order.

/// The type of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A text; none and empty are one.
    Text,
    /// A number.
    Number,
    /// A whole number from 0.
    Whole,
    /// True or false.
    Truth,
}

impl Kind {
    /// In words for the schema, with the type that SQL has for it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Text => "text (VARCHAR)",
            Self::Number => "number (DOUBLE)",
            Self::Whole => "whole number (BIGINT)",
            Self::Truth => "true or false (BOOLEAN)",
        }
    }
}

/// A column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name in the files.
    pub name: &'static str,
    /// Its type.
    pub kind: Kind,
    /// What it means.
    pub says: &'static str,
}

/// A value of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    /// Not known.
    Nothing,
    /// A text, as it came: whoever writes it makes it safe.
    Text(&'a str),
    /// A number.
    Number(f64),
    /// A whole number.
    Whole(u64),
    /// True or false.
    Truth(bool),
}

impl<'a> From<&'a String> for Cell<'a> {
    fn from(text: &'a String) -> Self {
        if text.is_empty() { Self::Nothing } else { Self::Text(text) }
    }
}

impl From<&Option<f64>> for Cell<'_> {
    fn from(number: &Option<f64>) -> Self {
        // Neither file has a form for what is not finite.
        number.filter(|n| n.is_finite()).map_or(Self::Nothing, Self::Number)
    }
}

impl From<&Option<u64>> for Cell<'_> {
    fn from(number: &Option<u64>) -> Self {
        number.map_or(Self::Nothing, Self::Whole)
    }
}

impl From<&Option<bool>> for Cell<'_> {
    fn from(truth: &Option<bool>) -> Self {
        truth.map_or(Self::Nothing, Self::Truth)
    }
}

/// A row of one of the tables.
pub trait Row {
    /// Name of the table.
    const TABLE: &'static str;
    /// What a row stands for.
    const ABOUT: &'static str;
    /// The columns, in order.
    const COLUMNS: &'static [Column];

    /// The values, one for each column, in order.
    fn cells(&self) -> Vec<Cell<'_>>;
}

/// Declares a table once: the row, its columns and what they mean.
macro_rules! table {
    ($(#[$doc:meta])* $row:ident is $name:literal: $about:literal { $($column:ident: $kind:ident = $says:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Default)]
        pub struct $row {
            $(#[doc = $says] pub $column: $crate::tables::row::table!(@type $kind),)+
        }

        impl $crate::tables::Row for $row {
            const TABLE: &'static str = $name;
            const ABOUT: &'static str = $about;
            const COLUMNS: &'static [$crate::tables::Column] = &[$($crate::tables::Column {
                name: stringify!($column),
                kind: $crate::tables::Kind::$kind,
                says: $says,
            },)+];

            fn cells(&self) -> Vec<$crate::tables::Cell<'_>> {
                vec![$($crate::tables::Cell::from(&self.$column),)+]
            }
        }
    };
    (@type Text) => { String };
    (@type Number) => { Option<f64> };
    (@type Whole) => { Option<u64> };
    (@type Truth) => { Option<bool> };
}

pub(super) use table;
