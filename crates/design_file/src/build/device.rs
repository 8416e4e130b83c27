//! The box, the leads, the devices and the arrays.

use crate::walk::Node;
use engine::model::device::{Device, DeviceKind};
use engine::model::enclosure::{Enclosure, Hinge};
use engine::model::hold::BoxMaterial;
use engine::model::lead::{Lead, LeadEnd, LugForm};
use engine::model::obstacle::Obstacle;
use engine::model::part::PlanPoint;
use engine::model::source::Array;
use engine::units::Length;

pub(super) fn enclosure(node: &Node) -> Enclosure {
    Enclosure {
        part: node.part(),
        length: node.length("length"),
        width: node.length("width"),
        height: node.length("height"),
        wall: node.length("wall"),
        gap: node.length("gap"),
        margin: node.length("margin"),
        columns: node.whole("columns"),
        seen_from: node.text("seen_from"),
        far_side: node.text("far_side"),
        place: node.text("place"),
        inside: node.flag("inside"),
        sealed: node.flag("sealed"),
        vent_low: node.area("vent_low"),
        vent_high: node.area("vent_high"),
        lid: node.flag("lid"),
        lid_hinge: node.text("lid_hinge").and_then(|word| Hinge::from_word(&word)),
        lid_clearance: node.length("lid_clearance"),
        headroom: node.length("headroom"),
        liner: node.length("liner"),
        divider: node.length("divider"),
        drain: node.flag("drain"),
        drain_height: node.length("drain_height"),
        lock: node.flag("lock"),
        heated: node.flag("heated"),
        mass: node.mass("mass"),
        spot: node.spot(),
        over_rail: node.flag("over_rail"),
        material: BoxMaterial::WORDS
            .into_iter()
            .find(|w| Some(w.0) == node.text("material").as_deref())
            .map(|w| w.1),
        play: node.length("play"),
        stops: node.flag("stops"),
        vent_drill: node.length("vent_drill"),
        shares: node.texts("shares"),
        fuel_above: node.length("fuel_above"),
        fuel_shielded: node.flag("fuel_shielded"),
        fuel_over_under: node.flag("fuel_over_under"),
    }
}

/// An obstacle; without a place it stands nowhere, and the fault about the place stands.
pub(super) fn obstacle(node: &Node) -> Option<Obstacle> {
    let nothing = PlanPoint { x: Length::ZERO, y: Length::ZERO };
    Some(Obstacle {
        part: node.part(),
        kind: node.text("kind"),
        at: node.point("at")?,
        size: node.point("size").unwrap_or(nothing),
        bottom: node.length("bottom").unwrap_or(Length::ZERO),
        height: node.length("height"),
    })
}

pub(super) fn lead(node: &Node) -> Lead {
    let end = |which: &str| LeadEnd {
        lug_hole: node.length(&format!("lug_{which}")),
        joint: None,
        boot: node.flag(&format!("boot_{which}")),
        exit: node.angle(&format!("exit_{which}")),
        form: node.text(&format!("lug_form_{which}")).and_then(|word| LugForm::from_word(&word)),
    };
    Lead {
        part: node.part(),
        from: node.terminal("from"),
        to: node.terminal("to"),
        size: node.size("size"),
        length: node.length("length"),
        from_end: end("from"),
        to_end: end("to"),
        lug_angle: node.angle("lug_angle"),
        insulation: node.temperature("insulation"),
        sheathed: node.flag("sheathed"),
        engine_space: node.flag("engine_space"),
        bundled: node.whole("bundled"),
        temperature: node.temperature("temperature"),
        via: node.points("via"),
        colour: node.text("colour"),
        critical: node.flag("critical"),
        starter: node.flag("starter"),
    }
}

/// The kind of a device; a word that is not known leaves it a plain piece of equipment, and the
/// fault about the word stands.
pub(crate) fn kind(node: &Node) -> DeviceKind {
    let word = node.text("kind").unwrap_or_default();
    let known = DeviceKind::WORDS.iter().find(|w| w.0 == word);
    known.map_or(DeviceKind::Equipment, |w| w.1)
}

pub(super) fn device(node: &Node) -> Device {
    Device {
        part: node.part(),
        kind: kind(node),
        rating: node.current("rating"),
        family: node.text("family"),
        interrupt: node.interrupt("interrupt"),
        volts_max: node.voltage("volts_max"),
        dc_rated: node.flag("dc_rated"),
        polarised: node.flag("polarised"),
        ignition_protected: node.flag("ignition_protected"),
        resistance: node.resistance("resistance"),
        stud: node.length("stud"),
        torque: node.torque("torque"),
        mounted_on: node.terminal("mounted_on"),
        at: node.point("at"),
        in_box: node.flag("in_box"),
        reachable: node.flag("reachable"),
        power: node.power("power"),
        surge: node.power("surge"),
        idle: node.power("idle"),
        efficiency: node.share("efficiency"),
        cut_off: node.voltage("cut_off"),
        absorption: node.voltage("absorption"),
        float: node.voltage("float"),
        equalise: node.voltage("equalise"),
        input_max: node.voltage("input_max"),
        compensated: node.flag("compensated"),
        fed_by: node.text("fed_by"),
        transfer: node.flag("transfer"),
        mppt: node.flag("mppt"),
        distance: node.length("distance"),
        exhaust_away: node.flag("exhaust_away"),
        always_live: node.flag("always_live"),
        mass: node.mass("mass"),
        spot: node.spot(),
        ambient_min: node.temperature("ambient_min"),
        surge_time: node.duration("surge_time"),
        lockout_below: node.temperature("lockout_below"),
        absorption_time: node.duration("absorption_time"),
        tail: node.current("tail"),
        resume: node.voltage("resume"),
        sense: node.text("sense"),
        desulphate: node.flag("desulphate"),
        limiter: node.flag("limiter"),
        relay: node.flag("relay"),
        fed_volts: node.voltage("fed_volts"),
        length: node.length("length"),
    }
}

pub(super) fn array(node: &Node) -> Array {
    Array {
        part: node.part(),
        controller: node.text("controller"),
        series: node.whole("series").unwrap_or(1),
        parallel: node.whole("parallel").unwrap_or(1),
        panel: node.power("panel"),
        open_volts: node.voltage("open_volts"),
        working_volts: node.voltage("working_volts"),
        short_amps: node.current("short_amps"),
        working_amps: node.current("working_amps"),
        volts_per_kelvin: node.share("volts_per_kelvin"),
        tilt: node.angle("tilt"),
        facing: node.angle("facing"),
        shade: node.share("shade"),
        dirt: node.share("dirt"),
        mass: node.mass("mass"),
        spot: node.spot(),
        amps_per_kelvin: node.share("amps_per_kelvin"),
        noct: node.temperature("noct"),
        air_behind: node.length("air_behind"),
    }
}
