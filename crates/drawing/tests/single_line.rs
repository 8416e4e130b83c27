//! The single-line diagram: whole lettering, no box over another, every wire from box to box, on paper of
//! every kind.

mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::pictures::Setting;
use drawing::pictures::single_line::{SingleLinePicture, single_line, single_line_sheets};
use drawing::scene::{Item, Rect, Scene};
use drawing::text::Weight;
use rigs::Worked;

fn papers() -> [Setting; 3] {
    [Setting::portrait("line"), Setting::landscape("line"), Setting::phone("line")]
}

/// The boxes of devices.
fn boxes(scene: &Scene) -> Vec<(String, Rect)> {
    let group = |item: &Item| match item {
        Item::Group(group) if group.class.as_deref() == Some("box") => {
            let rect = group.items.iter().find_map(|i| match i {
                Item::Rect(rect) => Some(rect.clone()),
                _ => None,
            })?;
            Some((group.data.first()?.1.clone(), rect))
        }
        _ => None,
    };
    scene.items.iter().filter_map(group).collect()
}

fn words(scene: &Scene) -> String {
    let labels = scene.labels().into_iter();
    labels.map(|l| l.text.replace('\u{a0}', " ")).collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn check_sheet(what: &str, scene: &Scene) {
    assert_eq!(faults(scene), Vec::<String>::new(), "{what}");
    let boxes = boxes(scene);
    for (n, (name, a)) in boxes.iter().enumerate() {
        let inside = 0.0 <= a.corner.x
            && a.corner.x + a.width <= scene.width
            && a.corner.y + a.height <= scene.height;
        assert!(inside, "{what}: {name} lies on the sheet");
        for (other, b) in &boxes[n + 1..] {
            let apart = a.corner.x + a.width <= b.corner.x
                || b.corner.x + b.width <= a.corner.x
                || a.corner.y + a.height <= b.corner.y
                || b.corner.y + b.height <= a.corner.y;
            assert!(apart, "{what}: {name} lies over {other}");
        }
    }
}

fn check_rig(what: &str, worked: &Worked) {
    for setting in &papers() {
        let (subject, share) = (worked.subject(), worked.share.as_ref());
        let picture = SingleLinePicture { subject, share, setting };
        let paper = format!("{what} on {} mm", setting.width);
        check_sheet(&paper, &single_line(&picture));
        let sheets = single_line_sheets(&picture);
        for sheet in &sheets {
            check_sheet(&paper, sheet);
        }
        // Everything that the whole picture shows stands on one of the sheets.
        let whole = boxes(&single_line(&picture));
        let all: Vec<String> = sheets.iter().flat_map(boxes).map(|b| b.0).collect();
        for (name, _) in whole {
            assert!(all.contains(&name), "{paper}: {name} stands on a sheet");
        }
        if setting.height < 249.1 && 170.0 < setting.width {
            let high = sheets.iter().map(|s| s.height).fold(0.0, f64::max);
            assert!(high <= setting.height, "{paper}: {high} mm high");
        }
    }
}

#[test]
fn every_demo_is_whole_at_ten_points_on_paper() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            check_rig(&format!("{name}, stage {}", worked.study.stage), &worked);
        }
    }
}

/// A bank with a main fuse, an isolator, a bar and so many loads, each with its fuse, every third a charger.
fn busy(loads: usize) -> Worked {
    let mut more = String::from(
        "[lead.\"plus 2\"]\nfrom = \"main out\"\nto = \"isolator in\"\n[device.isolator]\n\
         kind = \"isolator\"\n[lead.\"plus 3\"]\nfrom = \"isolator out\"\nto = \"plus bar\"\n\
         [device.\"plus bar\"]\nkind = \"busbar\"\n",
    );
    for n in 0..loads {
        let kind = if n % 3 == 0 { "charger" } else { "equipment" };
        more += &format!(
            "[device.\"fuse {n}\"]\nkind = \"fuse\"\nrating = \"30 A\"\n[device.\"thing {n}\"]\n\
             kind = \"{kind}\"\nrating = \"20 A\"\n[lead.\"feed {n}\"]\nfrom = \"plus bar\"\n\
             to = \"fuse {n} in\"\nlength = \"1 m\"\n[lead.\"go {n}\"]\nfrom = \"fuse {n} out\"\n\
             to = \"thing {n} +\"\nlength = \"1 m\"\n[lead.\"back {n}\"]\nfrom = \"thing {n} -\"\n\
             to = \"shunt out\"\nlength = \"1 m\"\n"
        );
    }
    rigs::bank_with(2, 2, "\"opposite corners\"", &more)
}

#[test]
fn three_to_twenty_five_devices_find_room() {
    // Main, isolator, bar and shunt are four; each load brings itself and its fuse.
    check_rig("three devices", &rigs::bank(2, 1, "\"same end\""));
    for loads in [1, 5, 10] {
        check_rig(&format!("{} devices", 4 + 2 * loads), &busy(loads));
    }
}

#[test]
fn the_trailer_says_what_stays_live_and_how_far_its_fuse_is() {
    let worked = rigs::demo(rigs::DEMOS[0].1).into_iter().nth(1).expect("a second stage");
    let (subject, share) = (worked.subject(), worked.share.as_ref());
    let setting = &Setting::landscape("line");
    let scene = single_line(&SingleLinePicture { subject, share, setting });
    let said = words(&scene);
    // From the design file: the main fuse is class T, 225 A, breaks 20 kA, on a lead of 350 mm.
    for text in
        ["class T fuse", "225 A", "breaks 20 kA", "350 mm from source", "drawn closed", "bond"]
    {
        assert!(said.contains(text), "{text} is said: {said}");
    }
    let live = |name: &str| {
        scene.items.iter().any(|i| {
            match i {
            Item::Group(g) if g.data.iter().any(|d| d.1 == name) => g.items.iter().any(|i| {
                matches!(i, Item::Label(l) if l.text.ends_with("stays live") && l.weight == Weight::Bold)
            }),
            _ => false,
        }
        })
    };
    // The breakaway switch hangs on post A1 +; the panel lies beyond the isolator.
    assert!(
        live("breakaway") && live("main") && !live("panel"),
        "live is what the isolator leaves"
    );
    goldens::check_golden("single-line-alder-fen", &scene);
}
