//! The size of a case and where its posts and caps are: as the owner says, else by the group
//! printed on it, else assumed and listed.

use super::figures::Figures;
use crate::cite::Cite;
use crate::finding::Assumed;
use crate::model::block::{BlockModel, Chemistry, PostAt};
use crate::tables::Sourced;
use crate::tables::battery::{CaseSize, PostHabit};
use crate::units::Length;
use crate::units::show::{self, UnitSystem};

/// One case, standing as the maker draws it: length along x.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseFacts {
    /// Name of the block model.
    pub model: String,
    /// Length.
    pub length: Length,
    /// Width.
    pub width: Length,
    /// Height over posts and caps.
    pub height: Length,
    /// Height of the case itself, without posts and caps.
    pub case_height: Length,
    /// Height of its raised handles, where the owner measured them.
    pub handle_height: Option<Length>,
    /// Where the plus post stands.
    pub plus_at: PostAt,
    /// Where the minus post stands.
    pub minus_at: PostAt,
    /// Diameter of the studs, where known.
    pub stud: Option<Length>,
    /// Needs air and water: it has caps and is kept apart from its neighbours.
    pub flooded: bool,
    /// Centres of the filler caps.
    pub caps: Vec<PostAt>,
}

impl CaseFacts {
    /// What is known or assumed of a block model's case; adds what was assumed to the list.
    #[must_use]
    pub(super) fn of(
        model: &BlockModel,
        figures: &Figures<'_>,
        units: UnitSystem,
        assumed: &mut Vec<Assumed>,
    ) -> Option<Self> {
        let row = usual_row(model, figures)?;
        if model.length.is_none() || model.width.is_none() || model.height.is_none() {
            assumed.push(size_assumed(model, row, units));
        }
        let length = model.length.unwrap_or(row.length);
        let width = model.width.unwrap_or(row.width);
        let height = model.height.unwrap_or(row.height_high);
        let inset = figures.post_inset.min(length.min(width) * figures.post_inset_share);
        let habit = model.case.as_deref().and_then(|group| figures.posts(group));
        let usual = Usual::of(habit.as_ref(), (length, width), inset);
        let (plus, minus) = (usual.plus, usual.minus);
        if model.plus_at.is_none() || model.minus_at.is_none() {
            assumed.push(posts_assumed(model, &usual, inset, units));
        }
        if model.stud.is_none() {
            assumed.push(stud_assumed(model, figures, units));
        }
        Some(Self {
            model: model.name.clone(),
            length,
            width,
            height,
            case_height: model.case_height.unwrap_or(height - figures.post_over_case).min(height),
            handle_height: model.handle_height,
            plus_at: model.plus_at.unwrap_or(plus),
            minus_at: model.minus_at.unwrap_or(minus),
            stud: model.stud,
            flooded: model.chemistry == Some(Chemistry::Flooded),
            caps: caps(model, row, length, width),
        })
    }

    /// Whether a post measured by the owner lies inside the case.
    #[must_use]
    pub fn holds(&self, post: PostAt) -> bool {
        let along = Length::ZERO <= post.x && post.x <= self.length;
        along && Length::ZERO <= post.y && post.y <= self.width
    }
}

fn usual_row<'a>(model: &BlockModel, figures: &Figures<'a>) -> Option<&'a CaseSize> {
    let group = model.case.as_deref().and_then(|group| figures.case(group));
    group.or_else(|| figures.usual_case(model.volts))
}

/// One cap over each cell of a flooded block, evenly along the middle of the case.
fn caps(model: &BlockModel, row: &CaseSize, length: Length, width: Length) -> Vec<PostAt> {
    if model.chemistry != Some(Chemistry::Flooded) {
        return Vec::new();
    }
    let volts = model.volts.unwrap_or(row.voltage).as_volts();
    let cells = (volts / Chemistry::Flooded.nominal_cell().as_volts()).round();
    // A block of this trade has one to twenty-four cells; a wilder label gets no more circles.
    let count = (1..=24_u8).rev().find(|n| f64::from(*n) <= cells).unwrap_or(1);
    (1..=count)
        .map(|n| PostAt { x: length * (f64::from(n) / (f64::from(count) + 1.0)), y: width * 0.5 })
        .collect()
}

fn size_assumed(model: &BlockModel, row: &CaseSize, units: UnitSystem) -> Assumed {
    let shown = [
        model.length.unwrap_or(row.length),
        model.width.unwrap_or(row.width),
        model.height.unwrap_or(row.height_high),
    ]
    .map(|side| show::length(side, units))
    .join(" × ");
    Assumed {
        path: format!("block.{}.length", model.name),
        value: format!("{shown}, the usual case {}", row.group),
        how_to_measure: "Lay a tape along the case, across it, and from the floor to the top of \
                         the tallest post or cap."
            .to_owned(),
        matters: "Whether the blocks fit the box, how far the lid is above the posts, and the \
                  length of every link."
            .to_owned(),
        cite: row.cite.clone(),
    }
}

/// Where posts are taken to stand that nobody measured.
struct Usual {
    plus: PostAt,
    minus: PostAt,
    says: &'static str,
    cite: Cite,
}

impl Usual {
    /// By the habit of the size, else at two opposite corners. No standard that could be read gives
    /// places, and each size is sold with its posts changed about.
    fn of(habit: Option<&Sourced<PostHabit>>, (l, w): (Length, Length), inset: Length) -> Self {
        let at = |x, y| PostAt { x, y };
        let (left, right) = (inset, l - inset);
        let (near, far) = (inset, w - inset);
        let (plus, minus, says) = match habit.map(|h| h.value) {
            Some(PostHabit::OneLongSide) => (
                at(right, near),
                at(left, near),
                "both along the near long side, plus at the right",
            ),
            Some(PostHabit::OneShortSide) => (
                at(right, far),
                at(right, near),
                "both along the right short side, plus at the far",
            ),
            Some(PostHabit::OppositeCorners) | None => (
                at(left, far),
                at(right, near),
                "plus at the far left corner, minus at the near right",
            ),
        };
        let unknown = || Cite::practice("posts near two opposite corners");
        let cite = habit.map_or_else(unknown, |h| h.cite.clone());
        Self { plus, minus, says, cite }
    }

    /// From post to post: what a link's end moves by when the posts are changed about.
    fn apart(&self) -> Length {
        let (dx, dy) = ((self.plus.x - self.minus.x).as_mm(), (self.plus.y - self.minus.y).as_mm());
        Length::mm(crate::number::hypot(dx, dy))
    }
}

fn posts_assumed(model: &BlockModel, usual: &Usual, inset: Length, units: UnitSystem) -> Assumed {
    let inset = show::length(inset, units);
    Assumed {
        path: format!("block.{}.plus_at", model.name),
        value: format!("posts {inset} in from the sides: {}", usual.says),
        how_to_measure: "Stand so that the case lies lengthwise before you; measure from its left \
                         near corner to the middle of each post, along and across."
            .to_owned(),
        matters: format!(
            "The length of every link changes by as much as the posts are elsewhere: by {} at each \
             end where plus and minus are changed about. It also decides which way each block is \
             turned.",
            show::length(usual.apart(), units)
        ),
        cite: usual.cite.clone(),
    }
}

fn stud_assumed(model: &BlockModel, figures: &Figures<'_>, units: UnitSystem) -> Assumed {
    Assumed {
        path: format!("block.{}.stud", model.name),
        value: format!("studs of {}", show::length(figures.stud.value, units)),
        how_to_measure: "Measure the thread with a calliper, or find the drill bit whose shank is \
                         as thick."
            .to_owned(),
        matters: "The hole of every lug on these posts; and a lead is cut about four times the \
                  difference shorter or longer."
            .to_owned(),
        cite: figures.stud.cite.clone(),
    }
}

#[cfg(test)]
pub(super) mod tests {
    use super::CaseFacts;
    use crate::layout::figures::Figures;
    use crate::layout::figures::tests::tables;
    use crate::model::block::{BlockModel, Chemistry, PostAt};
    use crate::units::show::UnitSystem;
    use crate::units::{BlockVoltage, Length};

    /// A flooded 6 V block of which only the case group is known.
    pub(in crate::layout) fn gc2_model() -> BlockModel {
        let mut model = BlockModel::named("gc6");
        model.chemistry = Some(Chemistry::Flooded);
        model.volts = Some(BlockVoltage::volts(6.0));
        model.case = Some("GC2".to_owned());
        model
    }

    /// The case of [`gc2_model`].
    pub(in crate::layout) fn gc2() -> CaseFacts {
        CaseFacts::of(&gc2_model(), &Figures::of(tables()), UnitSystem::Metric, &mut Vec::new())
            .expect("the table has the group")
    }

    #[test]
    fn a_group_gives_the_size_and_says_so() {
        let mut assumed = Vec::new();
        let case =
            CaseFacts::of(&gc2_model(), &Figures::of(tables()), UnitSystem::Metric, &mut assumed)
                .expect("the table has the group");
        assert!(case.length.near(Length::mm(264.0), Length::mm(1e-9)), "length of GC2");
        let paths: Vec<&str> = assumed.iter().map(|a| a.path.as_str()).collect();
        assert_eq!(
            paths,
            ["block.gc6.length", "block.gc6.plus_at", "block.gc6.stud"],
            "all are listed"
        );
        assert!(assumed[0].value.contains("264 mm × 183 mm × 270 mm"), "{}", assumed[0].value);
        assert_eq!(case.caps.len(), 3, "three cells, three caps");
    }

    #[test]
    fn what_the_owner_measured_wins_and_is_not_listed() {
        let mut model = gc2_model();
        let post = |x, y| Some(PostAt { x: Length::mm(x), y: Length::mm(y) });
        model.length = Some(Length::mm(260.0));
        model.width = Some(Length::mm(180.0));
        model.height = Some(Length::mm(275.0));
        model.stud = Some(Length::mm(8.0));
        (model.plus_at, model.minus_at) = (post(25.0, 20.0), post(235.0, 20.0));
        let mut assumed = Vec::new();
        let case = CaseFacts::of(&model, &Figures::of(tables()), UnitSystem::Metric, &mut assumed)
            .expect("a case is known");
        assert!(assumed.is_empty(), "nothing is left to assume: {assumed:?}");
        assert!(case.plus_at.y.near(Length::mm(20.0), Length::mm(1e-9)), "the owner's post");
        assert!(case.holds(case.plus_at) && case.holds(case.minus_at), "posts are on the case");
    }

    #[test]
    fn posts_stand_by_the_habit_of_the_size_and_the_owner_is_told() {
        // Hand worked, 32 mm in: EN L2 is 242 by 175, so the plus is at 210, 32 and the minus at 32, 32,
        // 178 mm apart; 8D is 527 by 283, its posts at 495, 251 and 495, 32, 219 mm apart.
        for (group, plus, minus, apart) in [
            ("EN L2", (210.0, 32.0), (32.0, 32.0), "178 mm"),
            ("8D", (495.0, 251.0), (495.0, 32.0), "219 mm"),
        ] {
            let mut model = BlockModel::named("start");
            model.case = Some(group.to_owned());
            let mut assumed = Vec::new();
            let figures = Figures::of(tables());
            let case = CaseFacts::of(&model, &figures, UnitSystem::Metric, &mut assumed)
                .expect("the table has the group");
            for (got, want) in [(case.plus_at, plus), (case.minus_at, minus)] {
                let same = |l: Length, mm: f64| l.near(Length::mm(mm), Length::mm(1e-9));
                assert!(same(got.x, want.0) && same(got.y, want.1), "{group}: {got:?}");
            }
            let posts = assumed.iter().find(|a| a.path.ends_with("plus_at")).expect("listed");
            assert!(posts.matters.contains(apart), "{group}: {}", posts.matters);
            assert_eq!(posts.cite.status, crate::cite::Status::Practice, "{group}: no source");
        }
    }

    #[test]
    fn posts_of_a_small_case_do_not_meet() {
        let mut model = BlockModel::named("cell");
        (model.length, model.width) = (Some(Length::mm(100.0)), Some(Length::mm(48.0)));
        let case =
            CaseFacts::of(&model, &Figures::of(tables()), UnitSystem::Metric, &mut Vec::new())
                .expect("a case is known");
        // A quarter of 48 mm.
        assert!(case.plus_at.x.near(Length::mm(12.0), Length::mm(1e-9)), "{:?}", case.plus_at);
        assert!(case.caps.is_empty(), "nothing says that it is flooded");
    }
}
