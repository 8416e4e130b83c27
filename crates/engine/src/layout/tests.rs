//! The layout as a whole, on hand-worked banks.

use super::clash::ClashKind;
use super::figures::tests::{awg, tables};
use super::{Layout, case, lay_out};
use crate::circuit::wiring::{BANK, LeadRole, Wiring};
use crate::model::bank::{Bank, BlockId, BlockState, TakeOff};
use crate::model::design::{Design, Stage};
use crate::model::device::{Device, DeviceKind};
use crate::model::enclosure::Enclosure;
use crate::model::lead::{Lead, Pole, Terminal};
use crate::model::part::{PlanPoint, Turn};
use crate::model::rig::{Practice, Rig, RigKind};
use crate::model::stock::{Limits, Stock};
use crate::units::Length;
use crate::units::show::UnitSystem;
use proptest::prelude::{Strategy, prop_assert, prop_assert_eq, proptest};

fn bank(series: u32, parallel: u32) -> Bank {
    Bank {
        path: "bank".to_owned(),
        stage: None,
        block: "gc6".to_owned(),
        series,
        parallel,
        takeoff: TakeOff::OppositeCorners,
        link_size: None,
        link_length: None,
        link_temperature: None,
        joint: None,
        soc: None,
        discharge: None,
        have: false,
        blocks: Vec::new(),
    }
}

fn design(bank: Bank) -> Design {
    let rig = Rig {
        name: "bench".to_owned(),
        kind: RigKind::Trailer,
        practice: Practice::UsTrailer,
        units: UnitSystem::Metric,
        purpose: None,
        petrol_inboard: None,
        electric_brakes: None,
        insurer_told: None,
        permit: None,
        mains_by: None,
        shop_distance: None,
        revision: None,
    };
    Design {
        rig,
        place: None,
        stages: vec![Stage { name: "now".to_owned(), note: None, done: false, budget: None }],
        blocks: vec![case::tests::gc2_model()],
        banks: vec![bank],
        enclosure: None,
        obstacles: Vec::new(),
        holds: Vec::new(),
        leads: Vec::new(),
        devices: Vec::new(),
        arrays: Vec::new(),
        loads: Vec::new(),
        trips: Vec::new(),
        storage: None,
        mains: None,
        vehicle: None,
        stock: Stock::default(),
        limits: Limits::default(),
        as_built: crate::model::as_built::AsBuilt::default(),
    }
}

fn boxed(length: f64, width: f64) -> Enclosure {
    let mut enclosure = Enclosure::unknown();
    enclosure.length = Some(Length::mm(length));
    enclosure.width = Some(Length::mm(width));
    enclosure
}

fn point(x: f64, y: f64) -> PlanPoint {
    PlanPoint { x: Length::mm(x), y: Length::mm(y) }
}

fn laid(design: &Design) -> Layout {
    lay_out(design, &Wiring::of(design), tables(), &|_| Some(awg("2/0")))
}

fn corner(layout: &Layout, name: &str) -> (f64, f64, Turn) {
    let id = BlockId::from_text(name).expect("a block name");
    let block = layout.plan.block(id).expect("a placed block");
    (block.corner.x.as_mm(), block.corner.y.as_mm(), block.turn)
}

#[track_caller]
fn check_mm(what: &str, got: Length, want: f64) {
    // A hundredth of a millimetre: finer than any tape, coarser than rounding.
    assert!((got.as_mm() - want).abs() < 0.01, "{what}: {} mm, not {want} mm", got.as_mm());
}

#[track_caller]
fn check_place(layout: &Layout, name: &str, x: f64, y: f64, turn: Turn) {
    let got = corner(layout, name);
    let away = (got.0 - x).abs() + (got.1 - y).abs();
    assert!(away < 0.01 && got.2 == turn, "{name} at {got:?}, not {x}, {y}, {turn:?}");
}

/// Six GC2 blocks, 264 by 183 by 270 mm, posts 32 mm in, 12 mm between blocks and at the walls.
///
/// Box to build: 3 * 264 + 2 * 12 + 2 * 12 = 840 by 2 * 183 + 12 + 2 * 12 = 402. Under the lid: 270 to
/// the posts; the minus links climb one diameter and are one thick, 270 + 2 * 15.494 = 300.988, which
/// is above the stack of two lugs, 270 + 20 + 4 = 294; with 40 of air 340.988. Columns start at 12, 288, 564; rows at 207 (A1) and 12 (A2).
/// A1 minus is at 12 + 264 - 32 = 244, 207 + 32 = 239. A2 unturned has its plus at 44, 163, 276 mm
/// of square path away; turned half round at 244, 12 + 32 = 44, straight and 195 mm away.
#[test]
fn two_in_series_three_strings_by_hand() {
    let layout = laid(&design(bank(2, 3)));
    let plan = &layout.plan;
    assert!(plan.to_build && plan.clashes.is_empty(), "{:?}", plan.clashes);
    check_mm("inside length", plan.needed.length, 840.0);
    check_mm("inside width", plan.needed.width, 402.0);
    check_mm("inside height", plan.needed.height, 340.988);
    for (name, x, y, turn) in [
        ("A1", 12.0, 207.0, Turn::None),
        ("A2", 12.0, 12.0, Turn::Half),
        ("B1", 288.0, 207.0, Turn::None),
        ("C2", 564.0, 12.0, Turn::Half),
    ] {
        check_place(&layout, name, x, y, turn);
    }
    let a2 = plan.block(BlockId { string: 0, place: 1 }).expect("A2 is there");
    check_mm("A2 plus, x", a2.plus.at.x, 244.0);
    check_mm("A2 plus, y", a2.plus.at.y, 44.0);
    check_mm("A2 minus, x", a2.minus.at.x, 44.0);
    check_mm("A2 minus, y", a2.minus.at.y, 163.0);
}

/// The leads of the same bank in 2/0: 15.494 mm over the jacket, bent to 4.5 * 15.494 = 69.723 mm
/// on the centre line.
///
/// Series links are 195 mm and plus links 276 mm, all straight. Each minus link crosses the series
/// link of its string, lies on it, and climbs 15.494 mm at either end: cos a = 1 - 15.494 / 139.446
/// = 0.888889, a = 0.475882, run 63.881, arcs 66.360, extra 2.479; 276 + 2 * 2.479 = 280.958.
/// Made: a plus link gets one diameter of slack at each end, 276 + 30.988 = 306.988. Cut: less two
/// palms of two M8 studs, 306.988 - 2 * 16 = 274.988.
#[test]
fn leads_of_the_bank_by_hand() {
    let layout = laid(&design(bank(2, 3)));
    let lead = |id| layout.lead(id).expect("a derived link");
    for id in ["1", "2", "3"] {
        check_mm("series link", lead(id).length.route.length(), 195.0);
    }
    for id in ["4", "5"] {
        check_mm("plus link", lead(id).length.route.length(), 276.0);
        check_mm("plus link as made", lead(id).length.made.length(), 306.988);
        check_mm("plus link as cut", lead(id).length.cut, 274.988);
    }
    for id in ["6", "7"] {
        let length = &lead(id).length;
        check_mm("minus link", length.route.length(), 280.958);
        check_mm("minus link made equal", length.made.length(), 311.946);
        let route = lead(id).route.as_ref().expect("both ends are posts");
        check_mm("height of its run", route.run_height, 285.494);
        assert_eq!(route.bend_too_tight, None, "276 mm hold two lugs and two climbs");
    }
}

#[test]
fn strings_alike_have_links_alike() {
    for series in 1..=4 {
        for parallel in 2..=5 {
            let design = design(bank(series, parallel));
            let (wiring, layout) = (Wiring::of(&design), laid(&design));
            for role in [LeadRole::SeriesLink, LeadRole::PlusLink, LeadRole::MinusLink] {
                let mut routes = wiring
                    .leads
                    .iter()
                    .zip(&layout.leads)
                    .filter(|(lead, _)| lead.role == role)
                    .map(|(_, path)| path.length.route.length().as_mm());
                let first = routes.next().unwrap_or(0.0);
                assert!(
                    routes.all(|mm| (mm - first).abs() < 0.01),
                    "{series}s{parallel}p: every {role:?} is {first} mm"
                );
            }
        }
    }
}

#[test]
fn a_box_that_fits_has_the_blocks_in_its_middle() {
    // Hand worked: the blocks are 816 by 378 mm, so 22 and 26 mm are left on every side.
    let mut design = design(bank(2, 3));
    design.enclosure = Some(boxed(860.0, 430.0));
    let layout = laid(&design);
    check_place(&layout, "A2", 22.0, 26.0, Turn::Half);
    assert!(layout.plan.clashes.is_empty(), "{:?}", layout.plan.clashes);
}

#[test]
fn a_narrow_box_is_filled_another_way() {
    // Hand worked: 430 by 860 mm holds two columns of quarter-turned blocks, 2 * 183 + 12 + 24 =
    // 402, and three rows, 3 * 264 + 24 + 24 = 840; nothing nearer to the usual pattern fits.
    let mut design = design(bank(2, 3));
    design.enclosure = Some(boxed(430.0, 860.0));
    let layout = laid(&design);
    assert!(layout.plan.clashes.is_empty(), "{:?}", layout.plan.clashes);
    check_mm("needed length", layout.plan.needed.length, 402.0);
    check_mm("needed width", layout.plan.needed.width, 840.0);
}

#[test]
fn blocks_stand_so_that_the_links_in_hand_reach() {
    // Hand worked: two blocks end to end are 264 + 12 = 276 mm apart from plus to plus, side by side
    // 183 + 12 = 195; links of 250 mm reach only the second.
    let mut bank = bank(1, 2);
    bank.link_length = Some(Length::mm(250.0));
    let layout = laid(&design(bank));
    check_place(&layout, "A1", 12.0, 12.0, Turn::Quarter);
    check_place(&layout, "B1", 207.0, 12.0, Turn::Quarter);
    assert_eq!(layout.lead("1").and_then(|l| l.length.short_by), None, "it reaches");
}

#[test]
fn a_box_too_small_says_how_much_is_missing() {
    let mut design = design(bank(2, 3));
    let mut enclosure = boxed(800.0, 400.0);
    enclosure.height = Some(Length::mm(300.0));
    design.enclosure = Some(enclosure);
    let layout = laid(&design);
    let by = |kind| layout.plan.clashes.iter().find(|c| c.kind == kind).map(|c| c.by.as_mm());
    for (kind, want) in [
        (ClashKind::BoxTooShort, 40.0),
        (ClashKind::BoxTooNarrow, 2.0),
        (ClashKind::LidTooLow, 40.988),
    ] {
        assert!(by(kind).is_some_and(|got| (got - want).abs() < 0.01), "{kind:?}: {:?}", by(kind));
    }
}

#[test]
fn blocks_the_owner_placed_stay_and_clash() {
    let mut bank = bank(2, 1);
    for (name, x, y) in [("A1", 20.0, 20.0), ("A2", 274.0, 20.0)] {
        let id = BlockId::from_text(name).expect("a block name");
        let mut state = BlockState::unknown(id);
        state.at = Some(point(x, y));
        state.turn = Some(Turn::None);
        bank.blocks.push(state);
    }
    let layout = laid(&design(bank));
    check_place(&layout, "A2", 274.0, 20.0, Turn::None);
    // 20 + 264 = 284 is 10 mm beyond 274.
    let clash = layout.plan.clashes.first().expect("they overlap");
    assert_eq!(clash.kind, ClashKind::Overlap, "{clash:?}");
    check_mm("overlap", clash.by, 10.0);
}

#[test]
fn a_long_string_folds_like_a_snake() {
    // Twelve blocks: three columns of four; every link joins neighbours. Down a column the rows are
    // 195 mm apart; from one column to the next two neighbours of one row are 276 mm apart.
    let layout = laid(&design(bank(12, 1)));
    check_mm("inside length", layout.plan.needed.length, 840.0);
    check_mm("inside width", layout.plan.needed.width, 792.0);
    for lead in &layout.leads {
        let route = lead.length.route.length().as_mm();
        assert!(route < 276.0 + 195.0, "lead {} is {route} mm", lead.id);
    }
}

/// A bank with a plus lead to a fuse and a minus lead to a shunt.
fn with_feeds(fuse_at: Option<PlanPoint>) -> Design {
    let mut design = design(bank(2, 3));
    let mut fuse = Device::named("main", DeviceKind::Fuse);
    fuse.at = fuse_at;
    design.devices = vec![fuse, Device::named("shunt", DeviceKind::Shunt)];
    for (name, pole, device) in [("8", Pole::Plus, "main"), ("9", Pole::Minus, "shunt")] {
        let mut lead = Lead::named(name);
        lead.from = Some(Terminal::stud(BANK, pole));
        lead.to = Some(Terminal::stud(device, Pole::In));
        design.leads.push(lead);
    }
    design
}

#[test]
fn a_lead_to_a_pencil_place_has_no_known_length() {
    let layout = laid(&with_feeds(Some(point(-300.0, 358.0))));
    assert!(layout.lead("8").is_some_and(|l| l.length.known), "the fuse has its place");
    assert!(layout.lead("9").is_some_and(|l| !l.length.known), "the shunt has none");
    let paths: Vec<&str> = layout.assumed.iter().map(|a| a.path.as_str()).collect();
    assert!(paths.contains(&"lead.9.length") && !paths.contains(&"lead.8.length"), "{paths:?}");
    let shunt = layout.plan.devices.iter().find(|d| d.name == "shunt").expect("it is drawn");
    assert!(shunt.minus_side && !shunt.decided, "{shunt:?}");
    assert!(layout.plan.inner.length < shunt.first.x, "beside the box, to the right");
}

#[test]
fn pencil_devices_stand_in_the_order_of_the_current() {
    // In the file the bar comes first; on the way out from the bank the fuse does.
    let mut design = with_feeds(None);
    design.devices.insert(0, Device::named("plus bar", DeviceKind::Busbar));
    design.devices.insert(1, Device::named("lamp", DeviceKind::Equipment));
    for (name, from, to) in [
        ("10", Terminal::stud("main", Pole::Out), Terminal::stud("plus bar", Pole::Bar)),
        ("11", Terminal::stud("plus bar", Pole::Bar), Terminal::stud("lamp", Pole::Plus)),
        ("12", Terminal::stud("lamp", Pole::Minus), Terminal::stud("shunt", Pole::Out)),
    ] {
        let mut lead = Lead::named(name);
        (lead.from, lead.to) = (Some(from), Some(to));
        design.leads.push(lead);
    }
    let layout = laid(&design);
    let x = |name: &str| {
        let device = layout.plan.devices.iter().find(|d| d.name == name);
        device.expect("it is drawn").first
    };
    let middle = layout.plan.inner.width / 2.0;
    assert!(x("main").x < x("plus bar").x && x("plus bar").x < x("lamp").x, "along the chain");
    assert!(middle < x("main").y && x("shunt").y < middle, "plus above, minus below");
    let chain = layout.lead("10").and_then(|l| l.route.as_ref()).expect("it is routed");
    assert_eq!(chain.bends(), 0, "a chain is one straight line: {:?}", chain.points);
}

#[test]
fn a_fuse_on_a_post_stands_on_it() {
    let mut design = with_feeds(None);
    design.devices[0].mounted_on = Some(Terminal::stud(BANK, Pole::Plus));
    let layout = laid(&design);
    let fuse = layout.plan.devices.iter().find(|d| d.name == "main").expect("it is drawn");
    let a1 = layout.plan.block(BlockId { string: 0, place: 0 }).expect("A1 is there");
    assert!(fuse.decided && fuse.first == a1.plus.at, "{fuse:?}");
}

#[test]
fn a_lead_in_hand_that_is_too_short_says_by_how_much() {
    // Hand worked: A1 plus is at 44, 358; the fuse 344 mm to its left; 344 + 2 * 50 = 444 needed.
    let mut design = with_feeds(Some(point(-300.0, 358.0)));
    design.leads[0].length = Some(Length::mm(404.0));
    let layout = laid(&design);
    let length = &layout.lead("8").expect("the plus lead").length;
    check_mm("needed", length.needed, 444.0);
    check_mm("short by", length.short_by.expect("it is short"), 40.0);
    check_mm("what is there decides the resistance", length.made.length(), 404.0);
}

#[test]
fn links_stated_long_enough_are_not_short() {
    for (stated, short) in [(318.0, None), (300.0, Some(6.988))] {
        let mut bank = bank(2, 3);
        bank.link_length = Some(Length::mm(stated));
        let layout = laid(&design(bank));
        let length = &layout.lead("4").expect("a plus link").length;
        check_mm("as stated", length.made.length(), stated);
        let got = length.short_by.map(Length::as_mm);
        let same = match (got, short) {
            (None, None) => true,
            (Some(a), Some(b)) => f64::abs(a - b) < 0.01,
            _ => false,
        };
        assert!(same, "{stated} mm: short by {got:?}, not {short:?}");
    }
}

#[test]
fn string_leads_to_a_busbar_are_made_equally_long() {
    let mut bank = bank(2, 3);
    bank.takeoff = TakeOff::Busbars { plus: "plus bar".to_owned(), minus: "minus bar".to_owned() };
    let mut design = design(bank);
    for (name, y) in [("plus bar", 500.0), ("minus bar", -100.0)] {
        let mut bar = Device::named(name, DeviceKind::Busbar);
        bar.at = Some(point(420.0, y));
        design.devices.push(bar);
    }
    let wiring = Wiring::of(&design);
    let layout = laid(&design);
    let made: Vec<f64> = wiring
        .leads
        .iter()
        .zip(&layout.leads)
        .filter(|(lead, _)| lead.role == LeadRole::StringPlus)
        .map(|(_, path)| path.length.made.length().as_mm())
        .collect();
    assert_eq!(made.len(), 3, "one for each string");
    assert!(made.iter().all(|m| (m - made[0]).abs() < 1e-9), "{made:?}");
    let longest = layout.lead("6").map_or(0.0, |l| l.length.needed.as_mm());
    assert!(longest <= made[0] + 1e-9, "none is shorter than it needs: {longest}");
}

#[test]
fn a_lead_passes_the_points_its_owner_gave() {
    let mut design = with_feeds(Some(point(-300.0, 358.0)));
    let via = [point(44.0, 600.0), point(-300.0, 600.0)];
    design.leads[0].via = via.to_vec();
    let layout = laid(&design);
    let route = layout.lead("8").and_then(|l| l.route.as_ref()).expect("it is routed");
    assert_eq!(route.points[1..3], via, "{:?}", route.points);
    // Hand worked: legs 242, 344, 242 with two bends of 69.723: 828 - 2 * 0.429204 * 69.723.
    check_mm("round the two bends", route.length.length(), 768.149);
    assert!(route.turn.as_degrees() > 0.0, "both bends go left: {:?}", route.turn);
}

#[test]
fn a_bend_without_room_is_reported() {
    let mut design = with_feeds(Some(point(-300.0, 300.0)));
    design.leads[0].via = vec![point(-250.0, 358.0), point(-250.0, 300.0)];
    let layout = laid(&design);
    let route = layout.lead("8").and_then(|l| l.route.as_ref()).expect("it is routed");
    // Hand worked: the last leg is 50 mm and has to hold a bend of 69.723 and a lug of 2 * 8 +
    // 22.86 = 38.86; the middle leg of 58 mm lacks 2 * 69.723 - 58 = 81.446, which is more.
    check_mm("room missing", route.bend_too_tight.expect("it is tight"), 81.446);
}

#[test]
fn a_lead_keeps_off_bare_posts() {
    // Straight from A1 plus to a fuse on the right of the box would run over B1 plus and C1 plus.
    let layout = laid(&with_feeds(Some(point(1200.0, 358.0))));
    let near = layout.plan.clashes.iter().find(|c| c.kind == ClashKind::LeadNearPost);
    assert_eq!(near, None, "the lead finds a way");
    let route = layout.lead("8").and_then(|l| l.route.as_ref()).expect("it is routed");
    assert_eq!(route.bends(), 4 - 2, "out, along and back: {:?}", route.points);
    assert_eq!(route.bend_too_tight, None, "with room for its bends");
}

#[test]
fn without_a_size_corners_are_sharp_and_nothing_is_judged() {
    let design = with_feeds(Some(point(-300.0, 300.0)));
    let layout = lay_out(&design, &Wiring::of(&design), tables(), &|_| None);
    let route = layout.lead("8").and_then(|l| l.route.as_ref()).expect("it is routed");
    // Hand worked: 344 mm to the left and 58 mm nearer, in one straight line.
    check_mm("hypot(344, 58)", route.length.length(), 348.855);
    assert_eq!((route.bend_radius, route.bend_too_tight), (None, None), "no size, no bend");
}

#[test]
fn no_bank_no_blocks() {
    let mut design = with_feeds(None);
    design.banks.clear();
    let layout = laid(&design);
    assert!(layout.plan.blocks.is_empty() && layout.plan.clashes.is_empty(), "an empty box");
    assert_eq!(layout.leads.len(), 2, "both leads are still listed");
}

fn any_turn() -> impl Strategy<Value = Option<Turn>> {
    (0..5_i32).prop_map(|n| Turn::from_degrees(f64::from(n) * 90.0).filter(|_| n < 4))
}

proptest! {
    #[test]
    fn every_lead_ends_on_its_studs_and_no_post_leaves_its_case(
        series in 1..5_u32, parallel in 1..5_u32, turn in any_turn(), place in 0..4_u32,
        x in -600.0..1500.0_f64, y in -600.0..1500.0_f64,
    ) {
        let mut bank = bank(series, parallel);
        let mut state = BlockState::unknown(BlockId { string: 0, place: place % series });
        state.turn = turn;
        bank.blocks.push(state);
        let mut design = design(bank);
        design.devices = with_feeds(Some(point(x, y))).devices;
        design.leads = with_feeds(None).leads;
        let layout = laid(&design);
        prop_assert_eq!(&layout, &laid(&design), "same in, same out");
        for block in &layout.plan.blocks {
            for post in [block.plus.at, block.minus.at] {
                let far = block.far_corner();
                prop_assert!(block.corner.x < post.x && post.x < far.x, "{}", block.id);
                prop_assert!(block.corner.y < post.y && post.y < far.y, "{}", block.id);
            }
        }
        let wiring = Wiring::of(&design);
        for (wired, lead) in wiring.leads.iter().zip(&layout.leads) {
            let route = lead.route.as_ref().expect("both ends are on the plan");
            let ends = [&wired.from, &wired.to].map(|t| stud(&layout, t));
            let (first, last) = (route.points[0], route.points[route.points.len() - 1]);
            prop_assert_eq!([first, last], ends, "lead {} ends exactly on its studs", lead.id);
            let straight = super::path::apart_mm(first, last);
            // A hundredth of a millimetre for rounding.
            prop_assert!(straight <= route.length.length().as_mm() + 0.01, "lead {}", lead.id);
            prop_assert!(route.length.length() <= lead.length.made.length(), "lead {}", lead.id);
            prop_assert!(Length::ZERO <= lead.length.cut, "lead {}", lead.id);
        }
    }
}

fn stud(layout: &Layout, terminal: &Terminal) -> PlanPoint {
    match terminal {
        Terminal::Post { block, plus } => {
            let block = layout.plan.block(*block).expect("a placed block");
            if *plus { block.plus.at } else { block.minus.at }
        }
        Terminal::Stud { device, pole } => {
            let device = layout.plan.devices.iter().find(|d| d.name == *device);
            device.expect("a placed device").stud(*pole)
        }
    }
}
