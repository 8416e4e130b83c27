//! Prints one picture of a demo rig as SVG:
//! `cargo run -p drawing --example pictures plan alder-fen 1 phone > plan.svg`. A number
//! at the end is the scale that a plan keeps, as one to so many. Kinds: plan, single, share, step, calendar,
//! chances, week, frost, ladder, charge; the last six also take a stage by name.

#[path = "../tests/rigs/mod.rs"]
mod rigs;

use drawing::pictures::Setting;
use drawing::pictures::plan::{PlanPicture, plan};
use drawing::pictures::share::{Half, SharePicture};
use drawing::pictures::single_line::{SingleLinePicture, single_line};
use drawing::pictures::step_plan::{StepMarks, StepPlanPicture, step_plan};
use drawing::scene::Scene;
use drawing::svg::{self, svg};
use engine::model::lead::Terminal;

fn picture(words: &[String]) -> Option<Scene> {
    let [kind, rig, stage, paper, rest @ ..] = words else { return None };
    let mut setting = match paper.as_str() {
        "phone" => Setting::phone(kind),
        "portrait" => Setting::portrait(kind),
        _ => Setting::landscape(kind),
    };
    let ratio = rest.first().and_then(|r| r.parse::<f64>().ok());
    setting.scale = ratio.map(|r| 1.0 / r);
    let setting = &setting;
    if let Some((_, text)) = rigs::DEMOS.iter().find(|d| d.0 == rig) {
        let whole = design_file::read::read(text).design?;
        let at = whole.stage_index(stage).or_else(|| stage.parse().ok())?;
        let named = |p: &(String, Scene)| p.0.starts_with(kind.as_str());
        if let Some(found) = rigs::night_pictures(&whole, at, setting).into_iter().find(named) {
            return Some(found.1);
        }
    }
    let stage: usize = stage.parse().ok()?;
    let bench = |rig: &str| {
        let (series, parallel) = rig.split_once('x')?;
        Some(rigs::bank(series.parse().ok()?, parallel.parse().ok()?, "\"opposite corners\""))
    };
    let demo = rigs::DEMOS.iter().find(|d| d.0 == rig);
    let worked = match demo {
        Some((_, text)) => rigs::demo(text).into_iter().nth(stage)?,
        None => bench(rig)?,
    };
    let moved = demo.and_then(|(_, text)| {
        let text = text.replace("\"opposite corners\"", "\"same end\"");
        rigs::demo(&text).into_iter().nth(stage)
    });
    let subject = worked.subject();
    let share = worked.share.as_ref();
    match kind.as_str() {
        "plan" => Some(plan(&PlanPicture { subject, share, setting })),
        "single" => Some(single_line(&SingleLinePicture { subject, share, setting })),
        "share" => {
            let now = Half { says: "now", share: share? };
            let then = moved.as_ref().and_then(|w| w.share.as_ref());
            let then = then.map(|share| Half { says: "with both leads at string A", share });
            Some(drawing::pictures::share::share(&SharePicture { subject, now, then, setting }))
        }
        "step" => {
            let setting = &Setting { scale: setting.scale, ..Setting::beside("step") };
            let names = |list: &[&str]| list.iter().map(ToString::to_string).collect();
            let post = |text: &str| Terminal::from_text(text);
            let marks = StepMarks {
                fitted: names(&["1", "2", "3", "4"]),
                leads: names(&["5"]),
                blocks: Vec::new(),
                posts: post("B1 +").into_iter().collect(),
                gap: post("B1 +").zip(post("C1 +")),
                tips: None,
            };
            Some(step_plan(&StepPlanPicture { subject, marks: &marks, setting }))
        }
        _ => None,
    }
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    #[expect(clippy::print_stdout, reason = "the picture is what this example is for")]
    if let Some(scene) = picture(&words) {
        for found in drawing::check::faults(&scene) {
            #[expect(clippy::print_stderr, reason = "what is wrong with it is told beside it")]
            {
                eprintln!("{found}");
            }
        }
        print!("{}", svg(&scene, svg::Setting::Standalone));
    }
}
