//! Cells, their gravity over the years, what is left, what they drink, frost by the log, and the tips of a
//! meter: whole lettering on every paper, and what they show is what they were given.

mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::pictures::cell_map::{CellMap, cell_map};
use drawing::pictures::health::{HealthPicture, health};
use drawing::pictures::step_plan::{StepMarks, StepPlanPicture, step_plan};
use drawing::pictures::tips::Tips;
use drawing::pictures::trend::{Trend, trend};
use drawing::pictures::water_use::{WaterPicture, water_use};
use drawing::pictures::{Foot, Setting};
use drawing::scene::{Group, Item, Scene};
use engine::care::Care;
use engine::care::capacity::{CapacityResult, Health};
use engine::care::cells::{CellHistory, CellState, GravityPoint, Range};
use engine::care::water::WaterUse;
use engine::evidence;
use engine::evidence::log::{CellId, Entry, Event, Log, Subject};
use engine::model::lead::Terminal;
use engine::prove::Point as On;
use engine::tables::Tables;
use engine::units::{Current, Duration};
use rigs::Worked;
use std::sync::LazyLock;

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables::load().expect("the tables are whole"));

const OF: (&str, &str) = ("bench", "bank");

fn papers() -> [Setting; 3] {
    let page = Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    [page, Setting::landscape("c"), Setting::phone("c")]
}

fn flooded() -> Worked {
    rigs::demo(rigs::DEMOS[0].1).into_iter().nth(1).expect("a stage with a bank")
}

/// An invented log: cells of three blocks' worth a block, each month for so many years, falling a little, one
/// cell faster than the others.
fn cells(worked: &Worked, years: i16, odd: &str) -> Vec<CellHistory> {
    let bank = worked.study.design.bank().expect("a bank");
    let named = |block| (0..3).map(move |cell| CellId { block, cell });
    let all = bank.block_ids().into_iter().flat_map(named);
    all.enumerate()
        .map(|(n, cell)| {
            let fails = cell.to_string() == odd;
            let own = f64::from(u32::try_from(n * 7 % 5).unwrap_or(0)) * 0.001;
            let point = |month: i16| {
                let (year, of_year) = (2022 + month / 12, i8::try_from(month % 12 + 1));
                let day = jiff::civil::date(year, of_year.expect("a month"), 3);
                let fall = if fails { 0.0014 } else { 0.0002 };
                let gravity = 1.262 + own - fall * f64::from(month);
                GravityPoint {
                    at: day.at(9, 0, 0, 0),
                    read: gravity,
                    fluid: None,
                    corrected: gravity,
                    soc: Some(0.95),
                    doubted: None,
                    entry: i64::from(month),
                }
            };
            let offset = if fails { -0.041 } else { own - 0.002 };
            CellHistory {
                cell,
                points: (0..years * 12).map(point).collect(),
                since: None,
                trend_per_year: None,
                offset: Some(Range { now: offset, low: offset - 0.004, high: offset + 0.004 }),
                state: if fails { CellState::Failing } else { CellState::Sound },
            }
        })
        .collect()
}

fn care(worked: &Worked, cells: Vec<CellHistory>) -> Care {
    let design = &worked.study.design;
    Care { cells, ..Care::of(&worked.study, design, &TABLES, &evidence::NONE) }
}

/// Water each third month, an equalising charge each year, one block replaced.
fn log(years: i16) -> Log {
    let entry = |id: i64, day: jiff::civil::Date, subject, event| Entry {
        id,
        at: day.at(10, 0, 0, 0),
        subject,
        event,
        note: String::new(),
        corrects: None,
    };
    let mut entries = Vec::new();
    for year in 2022..2022 + years {
        for month in [2, 5, 8, 11] {
            let water = Event::Water { volume_cm3: None, kind: None, before_charge: None };
            let day = jiff::civil::date(year, month, 4);
            entries.push(entry(
                i64::from(year) * 100 + i64::from(month),
                day,
                Subject::Bank,
                water,
            ));
        }
        let equalise = Event::Equalise { lasted: None, volts: None, hottest: None };
        let day = jiff::civil::date(year, 4, 5);
        entries.push(entry(i64::from(year), day, Subject::Bank, equalise));
    }
    Log { entries }
}

#[track_caller]
fn whole(name: &str, scene: &Scene) {
    assert_eq!(faults(scene), Vec::<String>::new(), "{name} on {} mm", scene.width);
}

/// Every group of a class, wherever it lies.
fn groups<'a>(scene: &'a Scene, class: &str) -> Vec<&'a Group> {
    let mut found = Vec::new();
    let mut waiting: Vec<&Item> = scene.items.iter().collect();
    while let Some(item) = waiting.pop() {
        if let Item::Group(group) = item {
            if group.class.as_deref() == Some(class) {
                found.push(group);
            }
            waiting.extend(group.items.iter());
        }
    }
    found
}

#[test]
fn the_cell_map_shows_every_gravity_and_marks_the_failing_cell() {
    let worked = flooded();
    let read = cells(&worked, 5, "B1.2");
    for setting in papers() {
        let map = |cells| CellMap { subject: worked.subject(), cells, setting: &setting };
        let blank = cell_map(&map(&[])).expect("flooded cells");
        whole("blank", &blank);
        let scene = cell_map(&map(&read)).expect("flooded cells");
        whole("map", &scene);
        let said: Vec<&str> = scene.labels().iter().map(|l| l.text.as_str()).collect();
        for cell in &read {
            let last = cell.points.last().expect("a reading").corrected;
            let shown = engine::units::show::fixed(last, 3);
            assert!(said.contains(&cell.cell.to_string().as_str()), "{} is named", cell.cell);
            assert!(said.contains(&shown.as_str()), "{}: {shown}", cell.cell);
        }
        assert_eq!(said.iter().filter(|t| **t == "failing").count(), 1, "one word for one cell");
        assert_eq!(groups(&scene, "sign stop").len(), 1, "and one sign");
    }
    let setting = &Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    let map = CellMap { subject: worked.subject(), cells: &read, setting };
    goldens::check_golden("cell-map-alder-fen", &cell_map(&map).expect("flooded cells"));
}

#[test]
fn cells_lie_as_the_caps_lie() {
    // Hand worked: cell 1 is at the plus post, so the cap nearest to the plus post carries `.1`.
    let worked = flooded();
    let setting = &Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    let scene = cell_map(&CellMap { subject: worked.subject(), cells: &[], setting });
    let scene = scene.expect("flooded cells");
    let at = |name: &str| {
        let label = scene.labels().into_iter().find(|l| l.text == name).cloned();
        label.unwrap_or_else(|| panic!("{name} is on the map")).place
    };
    let plan = &worked.study.layout.plan;
    let block = &plan.blocks[0];
    let (plus, minus) = (block.plus.at, block.minus.at);
    let (first, last) = (at("A1.1"), at("A1.3"));
    // x runs to the right on both; y runs away from the owner in the rig and down on paper.
    let across = (minus.x - plus.x).as_mm() * (last.x - first.x);
    let deep = -(minus.y - plus.y).as_mm() * (last.y - first.y);
    assert!(0.0 <= across && 0.0 <= deep && 0.0 < across + deep, "{across} {deep}");
    let other = plan.blocks.iter().find(|b| b.id.to_string() == "B1").expect("B1");
    let right = (other.corner.x - block.corner.x).as_mm();
    assert!(right.abs() < 1.0 || 0.0 < right * (at("B1.1").x - first.x), "B1 beside A1");
}

#[test]
fn the_trend_draws_the_odd_cell_in_ink_and_every_doing_as_a_mark() {
    let worked = flooded();
    for (years, odd) in [(5, "B1.2"), (1, "none"), (12, "C2.3")] {
        let care = care(&worked, cells(&worked, years, odd));
        let log = log(years);
        for setting in papers() {
            let picture = Trend { care: &care, log: &log, of: OF, setting: &setting };
            let scene = trend(&picture).expect("many days");
            whole(&format!("{years} years"), &scene);
            let drawn = groups(&scene, "cell");
            assert_eq!(drawn.len(), usize::from(odd != "none"), "only the odd cell is a line");
            if odd == "none" {
                assert!(scene.description.starts_with("None of"), "{}", scene.description);
            }
        }
    }
    let mut seven = cells(&worked, 3, "A1.1");
    for cell in seven.iter_mut().take(7) {
        cell.state = CellState::Behind;
    }
    let care_of_seven = care(&worked, seven);
    let setting = &Setting::phone("c");
    let picture = Trend { care: &care_of_seven, log: &log(3), of: OF, setting };
    whole("seven odd cells", &trend(&picture).expect("many days"));
    let care = care(&worked, cells(&worked, 5, "B1.2"));
    let setting = &Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    let picture = Trend { care: &care, log: &log(5), of: OF, setting };
    goldens::check_golden("trend-alder-fen", &trend(&picture).expect("many days"));
}

fn range(now: f64, by: f64) -> Range {
    Range { now, low: now - by, high: now + by }
}

fn test_of(year: i16, share: f64) -> CapacityResult {
    CapacityResult {
        on: jiff::civil::date(year, 5, 20),
        entry: 1,
        part: "the bank".to_owned(),
        current: Current::amps(28.5),
        lasted: Duration::hours(20.0 * share),
        temperature: None,
        rated: Duration::hours(20.0),
        share: range(share, 0.03),
        counted: Vec::new(),
    }
}

#[test]
fn what_is_left_shows_its_tests_its_line_and_when_it_ends() {
    let date = jiff::civil::date;
    let line = |year: i16| (date(year, 1, 1), range(1.0 - 0.035 * f64::from(year - 2022), 0.03));
    let sure = Health {
        now: range(0.86, 0.03),
        per_year: range(-0.035, 0.01),
        tests: 4,
        below_80: Some(date(2027, 9, 1)),
        below_80_early: Some(date(2026, 11, 1)),
        below_80_late: Some(date(2029, 4, 1)),
        line: (2022..2030).map(line).collect(),
        cites: Vec::new(),
    };
    let blind = Health {
        tests: 0,
        below_80: None,
        below_80_early: None,
        below_80_late: None,
        line: Vec::new(),
        ..sure.clone()
    };
    let tests =
        [(2023, 0.97), (2024, 0.93), (2025, 0.90), (2026, 0.86)].map(|(y, s)| test_of(y, s));
    for setting in papers() {
        let picture = HealthPicture { health: &sure, tests: &tests, of: OF, setting: &setting };
        let scene = health(&picture).expect("a line");
        whole("health", &scene);
        assert_eq!(groups(&scene, "test").len(), 4, "each test is drawn");
        let description = &scene.description;
        assert!(
            description.contains("2027-09") && description.contains("2029-04"),
            "{description}"
        );
        let few = &tests[..1];
        let picture = HealthPicture { health: &blind, tests: few, of: OF, setting: &setting };
        whole("one test", &health(&picture).expect("a test"));
        let none = HealthPicture { health: &blind, tests: &[], of: OF, setting: &setting };
        assert_eq!(health(&none), None, "nothing to draw");
    }
    let setting = &Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    let picture = HealthPicture { health: &sure, tests: &tests, of: OF, setting };
    goldens::check_golden("health", &health(&picture).expect("a line"));
}

#[test]
fn each_cell_has_its_bar_of_water() {
    let worked = flooded();
    let bank = worked.study.design.bank().expect("a bank");
    let named = |block| (0..3).map(move |cell| CellId { block, cell });
    let all: Vec<WaterUse> = bank
        .block_ids()
        .into_iter()
        .flat_map(named)
        .enumerate()
        .map(|(n, cell)| {
            let month =
                if n == 4 { 74.0 } else { 30.0 + f64::from(u32::try_from(n % 3).unwrap_or(0)) };
            WaterUse {
                cell,
                from: jiff::civil::date(2024, 4, 1),
                to: jiff::civil::date(2026, 4, 1),
                volume_cm3: month * 24.0,
                per_month_cm3: month,
                over_string: Some(month / 31.0),
                expected_cm3: (n != 7).then_some((20.0 * 24.0, 40.0 * 24.0)),
                overcharge_ah: 90.0,
                fillings: Vec::new(),
            }
        })
        .collect();
    for setting in papers() {
        let picture = WaterPicture { water: &all, of: OF, setting: &setting };
        let scene = water_use(&picture).expect("water");
        whole("water", &scene);
        assert_eq!(groups(&scene, "water").len(), all.len(), "a bar for each cell");
    }
    let none = WaterPicture { water: &[], of: OF, setting: &Setting::phone("c") };
    assert_eq!(water_use(&none), None, "nothing measured");
    let setting = &Setting { foot: Foot::Bare, ..Setting::portrait("c") };
    let picture = WaterPicture { water: &all, of: OF, setting };
    goldens::check_golden("water", &water_use(&picture).expect("water"));
}

#[test]
fn each_tip_is_on_its_post() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            let Some(bank) = worked.study.design.bank() else { continue };
            let leads = || worked.study.wiring.leads.iter();
            let fitted: Vec<String> = leads().map(|l| l.id.clone()).collect();
            let inside = |l: &&engine::circuit::wiring::WiredLead| {
                l.from.block().is_some() && l.to.block().is_some()
            };
            let link = leads().find(inside);
            for block in bank.block_ids() {
                let post = |plus| Some(On::Terminal(Terminal::Post { block, plus }));
                let apart = Tips { red: post(true), black: post(false), ..Tips::default() };
                draw_tips(&worked, &format!("{name} {block}"), Vec::new(), apart);
            }
            let Some(link) = link else { continue };
            let jaw = Tips { jaw: Some(link.id.clone()), ..Tips::default() };
            draw_tips(&worked, name, fitted.clone(), jaw);
            let joint = Tips {
                red: Some(On::Terminal(link.from.clone())),
                black: Some(On::Lug { lead: link.id.clone(), at_start: true }),
                jaw: None,
            };
            draw_tips(&worked, name, fitted, joint);
        }
    }
}

fn draw_tips(worked: &Worked, name: &str, fitted: Vec<String>, tips: Tips) {
    let wanted = [tips.red.is_some(), tips.black.is_some()];
    let clamps = usize::from(tips.jaw.is_some());
    let marks = StepMarks { fitted, tips: Some(tips), ..StepMarks::default() };
    let setting = &Setting { width: 86.0, height: 58.0, ..Setting::beside("tips") };
    let picture = StepPlanPicture { subject: worked.subject(), marks: &marks, setting };
    let scene = step_plan(&picture);
    whole(&format!("{name}, {}", scene.description), &scene);
    let count = wanted.into_iter().filter(|w| *w).count();
    assert_eq!(groups(&scene, "tip").len(), count, "{name}: each tip");
    assert_eq!(groups(&scene, "clamp").len(), clamps, "{name}: the clamp");
}
