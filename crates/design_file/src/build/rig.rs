//! The rig, its place, what it uses, what carries it and what was done.

use crate::schema::rig_side::{PRACTICES, RIG_KINDS};
use crate::syntax;
use crate::walk::{Node, Walk};
use crate::words;
use engine::model::as_built::{AsBuilt, Measured, PostRecord, VoltReading};
use engine::model::lead::Terminal;
use engine::model::load::{Load, Storage, Trip};
use engine::model::mains::{Bonds, Mains, MainsCircuit};
use engine::model::rig::{Place, Practice, Rig, RigKind};
use engine::model::stock::{CableInHand, CableSold, Limits, Stock};
use engine::model::vehicle::{Axle, TakenOut, Vehicle};
use engine::units::Voltage;
use engine::units::show::UnitSystem;

/// The rig; kind and practice fall back on each other, and that is told.
pub(super) fn rig(walk: &mut Walk<'_>, root: &Node) -> Option<Rig> {
    let Some(node) = root.of("rig").next() else {
        if !syntax::spoke_of(walk.lost, "rig") {
            walk.fault(words::missing_rig(), "rig", 0..0);
        }
        return None;
    };
    // A word that was nearly right stands for the one that was meant.
    let meant = |key: &str| {
        let path = format!("rig.{key}");
        walk.faults.iter().find(|f| f.path == path).and_then(|f| f.meant.clone())
    };
    let said = |key: &str| node.text(key).or_else(|| meant(key));
    let kind = RigKind::ALL.into_iter().find(|k| Some(k.word()) == said("kind").as_deref());
    let practice =
        Practice::ALL.into_iter().find(|p| Some(p.word()) == said("practice").as_deref());
    let kind_taken = kind.unwrap_or_else(|| kind_of(practice));
    let practice_taken = practice.unwrap_or_else(|| practice_of(kind_taken));
    let units_said = said("units");
    let name = node.text("name").filter(|n| !n.trim().is_empty());
    assumption(walk, node, "name", ("rig", &[]));
    assumption(walk, node, "kind", (kind_taken.word(), &RIG_KINDS));
    assumption(walk, node, "practice", (practice_taken.word(), &PRACTICES));
    if kind.is_none() && practice.is_none() && name.is_none() {
        return None;
    }
    let units = match units_said.as_deref() {
        Some("us") => UnitSystem::Us,
        Some("metric") => UnitSystem::Metric,
        _ if practice_taken.is_us() => UnitSystem::Us,
        _ => UnitSystem::Metric,
    };
    Some(Rig {
        name: name.unwrap_or_else(|| "rig".to_owned()),
        kind: kind_taken,
        practice: practice_taken,
        units,
        purpose: node.text("purpose"),
        petrol_inboard: node.flag("petrol_inboard"),
        electric_brakes: node.flag("electric_brakes"),
        insurer_told: node.flag("insurer_told"),
        permit: node.flag("permit"),
        mains_by: node.text("mains_by"),
        shop_distance: node.length("shop_distance"),
        revision: node.text("revision"),
    })
}

/// Tells what is taken for a word of the rig that is not there.
fn assumption(walk: &mut Walk<'_>, node: &Node, key: &str, (taken, choices): (&str, &[&str])) {
    let path = format!("rig.{key}");
    if node.keys.iter().any(|k| k == key) {
        let unread = node.text(key).is_none() && !choices.is_empty();
        let told = walk.faults.iter_mut().find(|f| f.path == path).filter(|_| unread);
        if let Some(fault) = told {
            fault.says.push_str(&format!(" \"{taken}\" is assumed for now."));
        }
        return;
    }
    if syntax::spoke_of(walk.lost, key) {
        return;
    }
    let trouble = if choices.is_empty() {
        words::missing_key("rig", key, "\"the name you call it by\"")
    } else {
        words::assumed("rig", key, taken, choices)
    };
    walk.fault(trouble, &path, node.span.clone());
}

fn kind_of(practice: Option<Practice>) -> RigKind {
    match practice {
        Some(Practice::UsBoat | Practice::EuBoat) => RigKind::Boat,
        Some(Practice::UsCabin | Practice::EuCabin) => RigKind::Cabin,
        Some(Practice::UsTrailer | Practice::EuVehicle) | None => RigKind::Trailer,
    }
}

fn practice_of(kind: RigKind) -> Practice {
    match kind {
        RigKind::Trailer | RigKind::Van => Practice::UsTrailer,
        RigKind::Boat => Practice::UsBoat,
        RigKind::Cabin => Practice::UsCabin,
    }
}

pub(super) fn place(root: &Node) -> Option<Place> {
    let node = root.of("place").next()?;
    Some(Place {
        name: node.text("name"),
        latitude_deg: node.number("latitude"),
        longitude_deg: node.number("longitude"),
        altitude: node.length("altitude"),
        horizon_deg: node.numbers("horizon"),
        weather: node.text("weather"),
        coldest: node.temperature("coldest"),
        warmest: node.temperature("warmest"),
        sun_hours: node.numbers("sun_hours"),
    })
}

pub(super) fn load(node: &Node) -> Load {
    Load {
        part: node.part(),
        power: node.power("power"),
        current: node.current("current"),
        daily: node.duration("daily"),
        energy: node.energy("energy"),
        surge: node.power("surge"),
        fed_from: node.text("fed_from"),
        automatic: node.flag("automatic"),
        standby: node.flag("standby"),
        mains: node.flag("mains"),
        hours: node.stretch("hours"),
        months: node.stretch("months"),
    }
}

pub(super) fn storage(node: &Node) -> Storage {
    Storage {
        time: node.duration("time"),
        from: node.whole("from"),
        at_charge: node.share("at_charge"),
        isolator_off: node.flag("isolator_off"),
        maintained: node.flag("maintained"),
    }
}

pub(super) fn trip(node: &Node) -> Trip {
    Trip {
        part: node.part(),
        nights: node.number("nights"),
        month: node.whole("month"),
        loads: node.texts("loads"),
        generator: node.duration("generator"),
        driving: node.duration("driving"),
    }
}

pub(super) fn mains(node: &Node) -> Mains {
    let bonds = node.of("mains.bonds").next();
    let bond = |key: &str| bonds.and_then(|b| b.whole(key));
    Mains {
        sources: node.texts("sources"),
        changeover: node.text("changeover"),
        bonds: Bonds {
            shore: bond("shore"),
            generator: bond("generator"),
            inverter: bond("inverter"),
        },
        rcd: node.flag("rcd"),
        circuits: node
            .of("mains.circuit.*")
            .map(|c| MainsCircuit {
                name: c.name.clone(),
                power: c.power("power"),
                automatic: c.flag("automatic"),
                on_inverter: c.flag("on_inverter"),
            })
            .collect(),
    }
}

pub(super) fn vehicle(node: &Node) -> Vehicle {
    let out = node.of("vehicle.out.*").filter_map(|o| {
        Some(TakenOut {
            name: o.name.clone(),
            mass: o.mass("mass")?,
            spot: o.spot(),
            stage: o.text("stage"),
        })
    });
    let axles = node.of("vehicle.axle.*").map(|a| Axle {
        name: a.name.clone(),
        at: a.length("at"),
        now: a.mass("now"),
        max: a.mass("max"),
    });
    Vehicle {
        ball_to_axle: node.length("ball_to_axle"),
        ball_now: node.mass("ball_now"),
        gross_now: node.mass("gross_now"),
        axle_now: node.mass("axle_now"),
        hitch_max: node.mass("hitch_max"),
        ball_max: node.mass("ball_max"),
        coupler_max: node.mass("coupler_max"),
        towbar_max: node.mass("towbar_max"),
        gross_max: node.mass("gross_max"),
        axle_max: node.mass("axle_max"),
        payload_max: node.mass("payload_max"),
        empty: node.mass("empty"),
        wheelbase: node.length("wheelbase"),
        axles: axles.collect(),
        taken_out: out.collect(),
        displacement: node.mass("displacement"),
        metacentric_height: node.length("metacentric_height"),
        list_max_kg_m: node.quantity("list_max"),
    }
}

pub(super) fn stock(node: &Node) -> Stock {
    let in_hand = |c: &Node| {
        Some(CableInHand {
            name: c.name.clone(),
            size: c.size("size")?,
            length: c.length("length")?,
            colour: c.text("colour"),
        })
    };
    let sold = |c: &Node| {
        Some(CableSold {
            name: c.name.clone(),
            size: c.size("size")?,
            length: c.length("length")?,
            up_to: c.length("up_to"),
            price: c.number("price"),
            colour: c.text("colour"),
        })
    };
    Stock {
        cable: node.of("stock.cable.*").filter_map(in_hand).collect(),
        sold: node.of("stock.sold.*").filter_map(sold).collect(),
        tools: node.texts("tools"),
        insulation_c: node.quantity("insulation"),
    }
}

pub(super) fn limits(node: &Node) -> Limits {
    Limits { budget: node.number("budget"), mass: node.mass("mass"), drop: node.share("drop") }
}

pub(super) fn as_built(node: &Node) -> AsBuilt {
    let posts = node.of("as_built.post.*").filter_map(|p| {
        Some(PostRecord {
            terminal: Terminal::from_text(&p.name)?,
            torque: p.torque("torque"),
            stack: p.texts("stack"),
            boot: p.flag("boot"),
        })
    });
    let volts = node.of("as_built.volts").flat_map(|v| {
        v.keys.iter().filter_map(|key| {
            let volts = Voltage::volts(v.quantity(key)?);
            Some(VoltReading { what: Measured::from_text(key)?, volts })
        })
    });
    AsBuilt {
        posts: posts.collect(),
        volts: volts.collect(),
        temperature: node.temperature("temperature"),
        ticks: node.texts("ticks"),
        alarm_powered: node.flag("alarm_powered"),
        gas_open: node.flag("gas_open"),
    }
}
