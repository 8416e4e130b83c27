//! Tools: what each line needs, where it is needed first, and whether it is in hand.

use super::build::Page;
use super::job::Job;
use super::words::Words;
use crate::units::show;

/// A tool of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tool {
    /// A meter for volts and millivolts.
    Meter,
    /// A clamp meter for direct current.
    Clamp,
    /// Spanners or sockets with taped handles.
    Spanner,
    /// A torque wrench for small torques.
    TorqueWrench,
    /// Insulating tape.
    Tape,
    /// Eye protection.
    Glasses,
    /// Rubber gloves.
    Gloves,
    /// Baking soda and water.
    Soda,
    /// Plenty of clean water.
    Water,
    /// Masking tape and a pen, or printed labels.
    Labels,
    /// A camera.
    Camera,
    /// Wheel chocks.
    Chocks,
    /// Stands.
    Stands,
    /// A spirit level.
    Level,
    /// A lifting strap.
    Strap,
    /// A paint pen.
    PaintPen,
    /// A lamp or resistor for the bank's volts, with two clips.
    Lamp,
    /// A load of known size.
    TestLoad,
    /// A bathroom scale and a beam.
    Scale,
    /// A thermometer.
    Thermometer,
    /// A cover for the panels.
    PanelCover,
    /// A lock or tag for the switches.
    Lock,
    /// A wire brush for posts.
    Brush,
    /// A drill and bits.
    Drill,
    /// A hole saw for the openings.
    HoleSaw,
    /// A crimping tool with the die of the lug.
    Crimper,
    /// A cable cutter.
    Cutter,
    /// A heat gun.
    HeatGun,
    /// A tape measure.
    TapeMeasure,
}

impl Tool {
    /// Its name in the reader's words.
    #[must_use]
    pub const fn name(self, words: Words) -> &'static str {
        match self {
            Self::Meter => "multimeter, volts and millivolts",
            Self::Clamp => "clamp meter for direct current",
            Self::Spanner => words.spanners(),
            Self::TorqueWrench => "torque wrench",
            Self::Tape => "insulating tape",
            Self::Glasses => "safety glasses",
            Self::Gloves => "rubber gloves",
            Self::Soda => "baking soda and water",
            Self::Water => "clean water for eyes and skin",
            Self::Labels => "masking tape and pen",
            Self::Camera => "camera or phone",
            Self::Chocks => "wheel chocks",
            Self::Stands => "stands or steadies",
            Self::Level => "spirit level",
            Self::Strap => "lifting strap",
            Self::PaintPen => "paint pen",
            Self::Lamp => "test lamp or pre-charge resistor",
            Self::TestLoad => "test load",
            Self::Scale => "bathroom scale and beam",
            Self::Thermometer => "thermometer",
            Self::PanelCover => "cover for the panels",
            Self::Lock => "lock or tag for switches",
            Self::Brush => "wire brush",
            Self::Drill => "drill and bits",
            Self::HoleSaw => "hole saw",
            Self::Crimper => "crimping tool with the lug's die",
            Self::Cutter => "cable cutter",
            Self::HeatGun => "heat gun",
            Self::TapeMeasure => "tape measure",
        }
    }

    /// Words in an owner's own list that mean this tool.
    const fn known_as(self) -> &'static [&'static str] {
        match self {
            Self::Meter => &["multimeter", "meter", "voltmeter", "dmm"],
            Self::Clamp => &["clamp"],
            Self::Spanner => &["spanner", "wrench", "socket", "ratchet"],
            Self::TorqueWrench => &["torque"],
            Self::Tape => &["insulating", "electrical tape"],
            Self::Glasses => &["glasses", "goggles", "eye", "face shield"],
            Self::Gloves => &["glove"],
            Self::Soda => &["soda", "bicarbonate"],
            Self::Water => &["clean water", "eye wash", "eyewash"],
            Self::Labels => &["label", "masking tape"],
            Self::Camera => &["camera", "phone"],
            Self::Chocks => &["chock"],
            Self::Stands => &["stand", "steady", "steadies", "stabilizer"],
            Self::Level => &["level"],
            Self::Strap => &["strap"],
            Self::PaintPen => &["paint"],
            Self::Lamp => &["lamp", "precharge", "pre-charge", "resistor"],
            Self::TestLoad => &["heater", "load"],
            Self::Scale => &["scale"],
            Self::Thermometer => &["thermometer"],
            Self::PanelCover => &["cover", "blanket", "tarp"],
            Self::Lock => &["lock", "tag"],
            Self::Brush => &["brush"],
            Self::Drill => &["drill"],
            Self::HoleSaw => &["hole saw", "hole cutter"],
            Self::Crimper => &["crimp"],
            Self::Cutter => &["cutter", "shears"],
            Self::HeatGun => &["heat gun"],
            Self::TapeMeasure => &["tape measure", "measuring tape", "ruler"],
        }
    }

    /// Whether a line of the owner's tool list means this tool. A torque wrench is not taken for
    /// a spanner, nor a clamp meter for a meter that shows millivolts.
    #[must_use]
    pub fn is_meant_by(self, listed: &str) -> bool {
        let listed = listed.to_lowercase();
        let other = match self {
            Self::Spanner => listed.contains("torque"),
            Self::Meter => listed.contains("clamp") || listed.contains("watt"),
            _ => false,
        };
        !other && self.known_as().iter().any(|w| listed.contains(w))
    }
}

/// A tool with the line that needs it first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToolNeed {
    /// The tool.
    pub tool: Tool,
    /// Its name in the reader's words.
    pub name: String,
    /// Big number of the page.
    pub page: u32,
    /// Number of the step.
    pub step: u32,
    /// Sizes, where the design says which.
    pub sizes: Vec<String>,
    /// The words in the owner's list that mean it; `None` when it must be borrowed or bought.
    pub in_hand: Option<String>,
}

/// Every tool of the pages, in the order in which it is needed first.
#[must_use]
pub fn needed(pages: &[Page], job: &Job<'_>) -> Vec<ToolNeed> {
    let (stock, words) = (&job.design.stock, job.words());
    let mut needs: Vec<ToolNeed> = Vec::new();
    for page in pages {
        for step in &page.steps {
            for tool in &step.tools {
                if needs.iter().any(|n| n.tool == *tool) {
                    continue;
                }
                needs.push(ToolNeed {
                    tool: *tool,
                    name: tool.name(words).to_owned(),
                    page: page.number,
                    step: step.number,
                    sizes: sizes(*tool, job),
                    in_hand: stock.tools.iter().find(|t| tool.is_meant_by(t)).cloned(),
                });
            }
        }
    }
    needs
}

/// The sizes of a tool that the design says.
fn sizes(tool: Tool, job: &Job<'_>) -> Vec<String> {
    let sets = || job.new_holds();
    match tool {
        Tool::Spanner => {
            let mut lines = spanners(job);
            lines.extend(sets().filter_map(|f| f.socket.clone()));
            lines.dedup();
            lines
        }
        Tool::Drill => {
            let mut lines: Vec<String> = sets().flat_map(|f| f.drills.clone()).collect();
            lines.dedup();
            lines
        }
        Tool::HoleSaw => {
            let row = job.vent.as_ref().and_then(|v| v.governing());
            row.map(|r| show::length(r.drill, job.design.rig.units)).into_iter().collect()
        }
        _ => Vec::new(),
    }
}

/// One line for each stud of the stage's work: its name and the spanner for its nut.
fn spanners(job: &Job<'_>) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for lead in job.fitted_leads() {
        for stud in [&lead.from, &lead.to].into_iter().filter_map(|t| job.stud_at(t)) {
            let name = job.studs.name(stud);
            let spanner = job.studs.spanner(stud).unwrap_or("try one on the nut");
            let line = format!("{name} stud: {spanner}");
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::Tool;

    #[test]
    fn a_torque_wrench_is_no_spanner_and_a_clamp_shows_no_millivolts() {
        for (listed, tool, means) in [
            ("13 mm spanner", Tool::Spanner, true),
            ("Torque wrench 5-25 N m", Tool::Spanner, false),
            ("Torque wrench 5-25 N m", Tool::TorqueWrench, true),
            ("DC clamp meter", Tool::Meter, false),
            ("DC clamp meter", Tool::Clamp, true),
            ("digital multimeter", Tool::Meter, true),
        ] {
            assert_eq!(tool.is_meant_by(listed), means, "{listed} as {tool:?}");
        }
    }
}
