//! What the sizing says of one lead.

use crate::circuit::wiring::{LeadRole, Polarity};
use crate::cite::{Cite, Status};
use crate::model::lead::{LugForm, Terminal};
use crate::model::rig::Practice;
use crate::units::conductor::ConductorSize;
use crate::units::{Angle, Area, Current, Interrupt, Length, OneWay, Temperature, Torque, Voltage};

/// The overcurrent device that guards a lead, chosen or already in the design.
#[derive(Clone, Debug, PartialEq)]
pub struct FuseChoice {
    /// The device's name in the design; empty when there is none yet and this is a proposal.
    pub id: String,
    /// Family, in the word of the data.
    pub family: String,
    /// Family, as the trade calls it.
    pub trade: String,
    /// Ampere rating.
    pub rating: Current,
    /// What it must be able to break, and can.
    pub interrupt: Interrupt,
    /// Volts it is rated for.
    pub rated_volts: Option<Voltage>,
    /// Where it goes, in words.
    pub place: String,
    /// Conductor length from the source to it, where the route is known.
    pub distance: Option<Length>,
    /// The longest such length the practice allows.
    pub limit: Option<Length>,
    /// Why this one, in one sentence.
    pub why: String,
    /// How far the figures can be trusted.
    pub status: Status,
}

/// A lug.
#[derive(Clone, Debug, PartialEq)]
pub struct LugChoice {
    /// Diameter of the stud it goes on.
    pub stud: Option<Length>,
    /// Clearance hole for that stud.
    pub hole: Option<Length>,
    /// The barrel: the conductor size it is made for.
    pub barrel: String,
    /// How it is bent.
    pub form: LugForm,
    /// Boot over the post.
    pub boot: bool,
    /// Torque from the part's own sheet; `None` leaves a blank to fill.
    pub torque: Option<Torque>,
}

impl LugChoice {
    /// Barrel and bend, as in "2/0 AWG, 90 degree"; a straight lug is not named so.
    #[must_use]
    pub fn named(&self) -> String {
        match self.form {
            LugForm::Straight => self.barrel.clone(),
            form => format!("{}, {}", self.barrel, form.word()),
        }
    }
}

/// Heat-shrink over a lug's barrel.
#[derive(Clone, Debug, PartialEq)]
pub struct ShrinkChoice {
    /// Expanded size as sold.
    pub sold_as: String,
    /// Length of each piece.
    pub length: Length,
}

/// What would be chosen under another practice setting.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherPractice {
    /// The setting.
    pub practice: Practice,
    /// The size.
    pub size: Option<ConductorSize>,
    /// The rule that governs there.
    pub governed_by: String,
    /// How far its table can be trusted.
    pub status: Status,
}

/// Whether a lead in hand can be used.
#[derive(Clone, Debug, PartialEq)]
pub enum Reuse {
    /// Nothing is in hand.
    New,
    /// Long enough, with this much over, and its lugs fit.
    Fits {
        /// Millimetres over.
        over: Length,
    },
    /// Too short by this much.
    TooShort {
        /// Millimetres missing.
        missing: Length,
    },
    /// A lug does not fit its stud.
    WrongLug {
        /// The lug hole.
        hole: Length,
        /// The stud.
        stud: Length,
        /// Which end.
        at: Terminal,
    },
    /// Too thin for the current.
    TooThin {
        /// The size needed.
        needed: ConductorSize,
    },
    /// In hand, but its length was not given.
    Unmeasured,
}

/// The parts of a cut length.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLength {
    /// Stud to stud along the route.
    pub route: OneWay,
    /// Where the route comes from: `drawing`, `stated`, `measured` or `assumed`.
    pub from: &'static str,
    /// Slack and bend allowance, both ends together.
    pub slack: Length,
    /// What the two lugs take off: stud centre to the inner end of the barrel, both ends together.
    pub lugs: Length,
    /// Length to cut, in whole millimetres.
    pub cut: Length,
    /// The route may be out by this much; lay a string before cutting.
    pub tolerance: Length,
}

impl CutLength {
    /// Stud to stud as made, slack included: the length that has a resistance.
    #[must_use]
    pub fn made(&self) -> Length {
        self.route.length() + self.slack
    }
}

/// Everything the sizing says of one lead.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadAnswer {
    /// Its name.
    pub id: String,
    /// Where it starts.
    pub from: Terminal,
    /// Where it ends.
    pub to: Terminal,
    /// What it does.
    pub role: LeadRole,
    /// Which side it belongs to.
    pub polarity: Polarity,
    /// The size.
    pub size: ConductorSize,
    /// The smallest size that would hold; the same as `size` unless the owner decided.
    pub smallest: ConductorSize,
    /// The owner decided the size.
    pub decided: bool,
    /// Temperature class of its insulation.
    pub insulation: Temperature,
    /// Copper area.
    pub area: Area,
    /// Its length.
    pub length: CutLength,
    /// What the table lets it carry, all factors applied.
    pub ampacity: Current,
    /// The largest steady current it must carry.
    pub design_amps: Current,
    /// How the design current comes about.
    pub design_why: String,
    /// The device that guards it; `None` for a lead that needs none or cannot have one.
    pub fuse: Option<FuseChoice>,
    /// Why this size, in one sentence.
    pub why: String,
    /// The limit that decided: `continuous current`, `voltage drop`, `fuse`, `short circuit`,
    /// `equal partners`, `bond`, `smallest allowed`, `owner`, or `no listed size` when even the
    /// largest does not hold.
    pub governed_by: String,
    /// The lug at `from`.
    pub lug_from: LugChoice,
    /// The lug at `to`.
    pub lug_to: LugChoice,
    /// Angle between the two lugs.
    pub lug_angle: Option<Angle>,
    /// Heat-shrink at each end.
    pub shrink: Option<ShrinkChoice>,
    /// Colour of jacket or marking.
    pub colour: String,
    /// Under other settings; empty until `Study::compare_practices` fills it.
    pub other_practice: Vec<OtherPractice>,
    /// How far the whole answer can be trusted: its weakest figure.
    pub status: Status,
    /// Rules and tables behind it.
    pub cites: Vec<Cite>,
    /// Whether the lead in hand can be used.
    pub reuse: Reuse,
}
