//! An aircraft card: one aircraft's layout, hours, and when its parts were fitted.

use super::{Layout, Site};

/// One aircraft. Its limits are already applied to the model it came with.
#[derive(Debug, Clone, PartialEq)]
pub struct Aircraft {
    /// Registration marks.
    pub registration: String,
    /// A line about it.
    pub title: String,
    /// Name of its layout.
    pub layout: String,
    /// Engine hours now.
    pub engine_hours: f64,
    /// When its parts were fitted; the first entry that matches a part and encloses its site counts.
    pub parts: Vec<Fitted>,
    /// Tools and gauges that it does not have, by the names that checks use.
    pub lacks: Vec<String>,
}

/// When a part was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The part, as causes name it.
    pub part: String,
    /// The site, or one that encloses it.
    pub site: Site,
    /// Engine hours since it was fitted.
    pub hours: Option<f64>,
    /// Years since it was fitted, at the opening of the job.
    pub years: Option<f64>,
}

impl Aircraft {
    /// The age of a part at a site, where the card tells.
    #[must_use]
    pub fn age(&self, layout: &Layout, part: &str, site: Site) -> Option<&Fitted> {
        age_of(&self.parts, layout, part, site)
    }
}

/// The age of a part at a site: the first entry of the part whose site encloses it.
#[must_use]
pub fn age_of<'a>(ages: &'a [Fitted], layout: &Layout, part: &str, site: Site) -> Option<&'a Fitted> {
    ages.iter().find(|fitted| fitted.part == part && layout.encloses(fitted.site, site))
}
