//! The cut plan against an enumeration of everything, against a mixed-integer program, and by hand.

use engine::plan::cutting::{
    Aim, CutError, CutPlan, InHand, NODE_CAP, Order, Origin, Piece, Sold, SoldAs, cut_plan,
};
use good_lp::{Expression, Solution, SolverModel, constraint, microlp, variable, variables};
use std::collections::BTreeMap;

/// A seeded generator, so that a failing case can be named by its number.
struct Seeded(u64);

impl Seeded {
    fn next(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % below
    }

    fn of<'a>(&mut self, lengths: &'a [u32]) -> &'a u32 {
        let place = usize::try_from(self.next(lengths.len() as u64)).expect("below the length");
        &lengths[place]
    }

    fn between(&mut self, low: u32, high: u32) -> u32 {
        low + u32::try_from(self.next(u64::from(high - low + 1))).expect("below a u32")
    }
}

#[derive(Debug)]
struct Case {
    pieces: Vec<Piece>,
    in_hand: Vec<InHand>,
    sold: Vec<Sold>,
    cut_mm: u32,
}

impl Case {
    fn order(&self) -> Order<'_> {
        Order {
            pieces: &self.pieces,
            in_hand: &self.in_hand,
            sold: &self.sold,
            cut_mm: self.cut_mm,
            node_cap: NODE_CAP,
        }
    }

    /// Every length that can be bought: (length, cost).
    fn offers(&self) -> Vec<(u64, u64)> {
        let priced = !self.sold.is_empty() && self.sold.iter().all(|s| s.price_minor.is_some());
        let mut offers = Vec::new();
        for s in &self.sold {
            let (step_tenths, most) = match s.sold_as {
                SoldAs::Length(mm) => (u64::from(mm) * 10, 1),
                SoldAs::Steps { step_tenths_mm, steps_max } => {
                    (u64::from(step_tenths_mm), steps_max)
                }
            };
            for n in 1..=u64::from(most) {
                let length = step_tenths * n / 10;
                offers.push((length, if priced { s.price_minor.unwrap_or(0) * n } else { length }));
            }
        }
        offers
    }
}

fn pieces(lengths: &[u32]) -> Vec<Piece> {
    lengths
        .iter()
        .enumerate()
        .map(|(i, &length_mm)| Piece { id: format!("{}", i + 1), length_mm })
        .collect()
}

fn in_hand(lengths: &[u32]) -> Vec<InHand> {
    lengths
        .iter()
        .enumerate()
        .map(|(i, &length_mm)| InHand { id: format!("scrap {}", i + 1), length_mm })
        .collect()
}

fn ready(length_mm: u32, price_minor: Option<u64>) -> Sold {
    Sold { label: format!("{length_mm} mm"), sold_as: SoldAs::Length(length_mm), price_minor }
}

/// Fewer is better in every place: cost, lengths opened, and the largest offcut counted downwards.
type Rank = (u64, u64, i64);

fn rank(plan: &CutPlan) -> Rank {
    let cost = match plan.aim {
        Aim::Cost => plan.totals.price_minor.expect("every length has a price"),
        Aim::Length => plan.totals.bought_mm,
    };
    (cost, plan.lengths.len() as u64, -i64::from(plan.totals.largest_offcut_mm))
}

/// Tries every way to group the pieces and every length for every group.
struct Enumerator {
    in_hand: Vec<u64>,
    offers: Vec<(u64, u64)>,
    cut: u64,
    best: Option<Rank>,
}

impl Enumerator {
    fn group(&mut self, pieces: &[u64], groups: &mut Vec<Vec<u64>>) {
        let Some((&first, rest)) = pieces.split_first() else {
            let mut used = vec![false; self.in_hand.len()];
            self.assign(groups, &mut used, (0, groups.len() as u64, 0));
            return;
        };
        for i in 0..groups.len() {
            groups[i].push(first);
            self.group(rest, groups);
            groups[i].pop();
        }
        groups.push(vec![first]);
        self.group(rest, groups);
        groups.pop();
    }

    fn assign(&mut self, groups: &[Vec<u64>], used: &mut Vec<bool>, so_far: Rank) {
        let Some((group, rest)) = groups.split_first() else {
            self.best = Some(self.best.map_or(so_far, |b| b.min(so_far)));
            return;
        };
        let sum: u64 = group.iter().sum();
        let needed = sum + self.cut * (group.len() as u64 - 1);
        let with_last_cut = sum + self.cut * group.len() as u64;
        let offcut = |length: u64| {
            -i64::try_from(length.saturating_sub(with_last_cut)).expect("a length fits")
        };
        for i in 0..used.len() {
            if !used[i] && needed <= self.in_hand[i] {
                used[i] = true;
                let next = (so_far.0, so_far.1, so_far.2.min(offcut(self.in_hand[i])));
                self.assign(rest, used, next);
                used[i] = false;
            }
        }
        for (length, cost) in self.offers.clone() {
            if needed <= length {
                let next = (so_far.0 + cost, so_far.1, so_far.2.min(offcut(length)));
                self.assign(rest, used, next);
            }
        }
    }
}

fn small_case(seed: u64) -> Case {
    let mut r = Seeded(seed);
    let lengths: Vec<u32> = (0..r.between(1, 4)).map(|_| r.between(20, 95)).collect();
    let piece_count = r.between(1, 6);
    let chosen: Vec<u32> = (0..piece_count).map(|_| *r.of(&lengths)).collect();
    let scraps: Vec<u32> = (0..r.between(0, 3)).map(|_| r.between(15, 180)).collect();
    let priced = r.next(2) == 0;
    let mut sold: Vec<Sold> = (0..r.between(0, 2))
        .map(|_| {
            let price = r.next(400) + 1;
            ready(r.between(60, 260), priced.then_some(price))
        })
        .collect();
    if r.next(3) == 0 {
        let sold_as =
            SoldAs::Steps { step_tenths_mm: r.between(253, 657), steps_max: r.between(2, 5) };
        let price_minor = priced.then_some(r.next(90) + 1);
        sold.push(Sold { label: "by the step".to_owned(), sold_as, price_minor });
    }
    Case { pieces: pieces(&chosen), in_hand: in_hand(&scraps), sold, cut_mm: r.between(0, 3) }
}

#[test]
fn the_plan_equals_the_best_of_all_ways_to_cut() {
    let mut planned = 0;
    for seed in 0..500 {
        let case = small_case(seed);
        let lengths: Vec<u64> = case.pieces.iter().map(|p| u64::from(p.length_mm)).collect();
        let mut all = Enumerator {
            in_hand: case.in_hand.iter().map(|s| u64::from(s.length_mm)).collect(),
            offers: case.offers(),
            cut: u64::from(case.cut_mm),
            best: None,
        };
        all.group(&lengths, &mut Vec::new());
        match cut_plan(&case.order()) {
            Ok(plan) => {
                planned += 1;
                assert!(plan.proven && plan.offcut_proven, "seed {seed}: a small case is proven");
                assert_eq!(Some(rank(&plan)), all.best, "seed {seed}: {case:?} gave {plan:?}");
                check_sums(&case, &plan);
            }
            Err(error) => assert_eq!(all.best, None, "seed {seed}: {error} though a plan exists"),
        }
    }
    assert!(planned > 250, "most seeds have a plan, or the test says little: {planned}");
}

/// What must hold for every plan, whatever it is.
fn check_sums(case: &Case, plan: &CutPlan) {
    let t = plan.totals;
    assert_eq!(
        t.bought_mm + t.in_hand_mm,
        t.used_mm + t.cut_mm + t.waste_mm,
        "what was there is in pieces, cuts or offcuts"
    );
    let mut given: Vec<&Piece> = plan.lengths.iter().flat_map(|l| &l.pieces).collect();
    let mut wanted: Vec<&Piece> = case.pieces.iter().collect();
    given.sort_by(|a, b| a.id.cmp(&b.id));
    wanted.sort_by(|a, b| a.id.cmp(&b.id));
    assert_eq!(given, wanted, "every piece is cut once");
    let mut scraps: Vec<&str> = Vec::new();
    for l in &plan.lengths {
        let pieces_mm: u32 = l.pieces.iter().map(|p| p.length_mm).sum();
        assert_eq!(l.length_mm, pieces_mm + l.cut_mm + l.remainder_mm, "each length adds up");
        assert!(l.pieces.is_sorted_by(|a, b| b.length_mm <= a.length_mm), "longest first");
        if let Origin::InHand(id) = &l.origin {
            assert!(!scraps.contains(&id.as_str()), "{id} is cut up once only");
            scraps.push(id);
        }
    }
    let listed: u32 = plan.bought.iter().map(|b| b.count).sum();
    assert_eq!(listed as usize + scraps.len(), plan.lengths.len(), "the list has what is cut");
}

fn middle_case(seed: u64) -> Case {
    let mut r = Seeded(seed + 10_000);
    let lengths: Vec<u32> = (0..4).map(|_| r.between(300, 1900)).collect();
    let piece_count = r.between(9, 14);
    let chosen: Vec<u32> = (0..piece_count).map(|_| *r.of(&lengths)).collect();
    let scraps: Vec<u32> = (0..r.between(0, 2)).map(|_| r.between(500, 2500)).collect();
    let priced = r.next(2) == 0;
    let sold = [r.between(2000, 2900), r.between(3000, 4500)]
        .map(|mm| ready(mm, priced.then_some(u64::from(mm) / 10 + r.next(40))));
    Case {
        pieces: pieces(&chosen),
        in_hand: in_hand(&scraps),
        sold: sold.to_vec(),
        cut_mm: r.between(0, 3),
    }
}

/// Every set of pieces that one length can hold.
fn fillings(kinds: &[(u64, u64)], length: u64, cut: u64) -> Vec<Vec<u64>> {
    let mut all = vec![Vec::new()];
    for &(_, count) in kinds {
        all = all.iter().flat_map(|f| (0..=count).map(move |n| [&f[..], &[n]].concat())).collect();
    }
    all.retain(|f| {
        let number: u64 = f.iter().sum();
        let sum: u64 = f.iter().zip(kinds).map(|(n, (l, _))| n * l).sum();
        number > 0 && sum + cut * (number - 1) <= length
    });
    all
}

/// Cost and lengths opened by an integer program over all fillings.
///
/// One opened length weighs less than one unit of cost, so that cost comes first.
fn by_integer_program(case: &Case) -> f64 {
    let mut counted: BTreeMap<u64, u64> = BTreeMap::new();
    for p in &case.pieces {
        *counted.entry(u64::from(p.length_mm)).or_default() += 1;
    }
    let kinds: Vec<(u64, u64)> = counted.into_iter().collect();
    let mut vars = variables!();
    let mut cost = Expression::from(0.0);
    let mut cut = vec![Expression::from(0.0); kinds.len()];
    let mut opened = Vec::new();
    let bins = case.in_hand.iter().map(|s| (u64::from(s.length_mm), 0, true));
    for (length, price, once) in bins.chain(case.offers().into_iter().map(|(l, c)| (l, c, false))) {
        let mut uses = Expression::from(0.0);
        for filling in fillings(&kinds, length, u64::from(case.cut_mm)) {
            let x = vars.add(variable().integer().min(0));
            cost += x * (price as f64 + OPENED);
            uses += x;
            for (sum, &n) in cut.iter_mut().zip(&filling) {
                *sum += x * n as f64;
            }
        }
        if once {
            opened.push(uses);
        }
    }
    let mut model = vars.minimise(cost.clone()).using(microlp);
    for (sum, &(_, count)) in cut.into_iter().zip(&kinds) {
        model = model.with(constraint!(sum >= count as f64));
    }
    for uses in opened {
        model = model.with(constraint!(uses <= 1.0));
    }
    model.solve().expect("both sold lengths hold every piece").eval(cost)
}

/// Weight of one opened length in the integer program: at most 14 are opened, so it stays below one.
const OPENED: f64 = 0.03125;

#[test]
fn the_plan_equals_an_integer_program_on_middle_cases() {
    for seed in 0..60 {
        let case = middle_case(seed);
        let plan = cut_plan(&case.order()).expect("both sold lengths hold every piece");
        assert!(plan.proven, "seed {seed}: {} pieces are proven", case.pieces.len());
        check_sums(&case, &plan);
        let (cost, lengths, _) = rank(&plan);
        let ours = cost as f64 + OPENED * lengths as f64;
        let theirs = by_integer_program(&case);
        // The program works in floating point; a third of one opened length tells all answers apart.
        assert!((ours - theirs).abs() < OPENED / 3.0, "seed {seed}: {ours} against {theirs}");
    }
}

#[test]
fn forty_pieces_of_six_lengths_are_proven() {
    let mut capped = Vec::new();
    for seed in 0..20 {
        let mut r = Seeded(seed + 77_000);
        let lengths: Vec<u32> = (0..6).map(|_| r.between(250, 2600)).collect();
        let chosen: Vec<u32> = (0..40).map(|_| *r.of(&lengths)).collect();
        let scraps: Vec<u32> = (0..r.between(0, 4)).map(|_| r.between(300, 2500)).collect();
        let sold = match seed % 3 {
            0 => vec![ready(5000, None), ready(3048, None)],
            1 => vec![ready(7620, Some(9900)), ready(3048, Some(4500)), ready(15240, Some(18000))],
            _ => vec![Sold {
                label: "by the foot".to_owned(),
                sold_as: SoldAs::Steps { step_tenths_mm: 3048, steps_max: 100 },
                price_minor: Some(525),
            }],
        };
        let case = Case { pieces: pieces(&chosen), in_hand: in_hand(&scraps), sold, cut_mm: 2 };
        let plan = cut_plan(&case.order()).expect("the longest piece fits");
        check_sums(&case, &plan);
        if !plan.proven {
            capped.push(seed);
        }
    }
    // One case cuts 61 m from three runs with 35 mm to spare; that is the kind the cap is there for.
    assert!(capped.len() <= 1, "not proven: {capped:?}");
}

#[test]
fn a_plan_worked_by_hand() {
    // 900 + 900 + 700 + 400 + 400 = 3300 mm, 3 mm lost at each cut; 1400 mm and 450 mm in hand; sold in
    // 2000 mm at 30.00 and by the 304.8 mm foot at 5.00.
    // In hand: 450 takes a 400 (450 - 400 - 3 = 47 left). 1400 takes 900 + 400 (1400 - 1300 - 6 = 94
    // left) or 700 + 400 (294 left) or 900 alone. With 900 + 400, there remain 900 + 700: 1603 mm with
    // the cut between them, that is 6 feet (1828 mm) at 30.00 or 2000 mm at 30.00.
    // Without the 450: 900 + 700 + 400 + two cuts = 2006 mm: 7 feet, 35.00. So 30.00, and three lengths
    // opened. For 30.00 the 2000 mm leave 2000 - 1600 - 6 = 394 mm. With 700 + 400 in the 1400 there
    // remain 900 + 900 = 1803 mm: 30.00 as well, and leave at most 294 or 2000 - 1806 = 194 mm. So 394.
    let case = Case {
        pieces: pieces(&[900, 900, 700, 400, 400]),
        in_hand: in_hand(&[1400, 450]),
        sold: vec![
            ready(2000, Some(3000)),
            Sold {
                label: "by the foot".to_owned(),
                sold_as: SoldAs::Steps { step_tenths_mm: 3048, steps_max: 50 },
                price_minor: Some(500),
            },
        ],
        cut_mm: 3,
    };
    let plan = cut_plan(&case.order()).expect("everything fits");
    assert_eq!(rank(&plan), (3000, 3, -394), "cost, lengths opened, largest offcut");
    let cut: Vec<(u32, Vec<&str>, u32)> = plan
        .lengths
        .iter()
        .map(|l| (l.length_mm, l.pieces.iter().map(|p| p.id.as_str()).collect(), l.remainder_mm))
        .collect();
    assert_eq!(
        cut,
        [(1400, vec!["1", "4"], 94), (450, vec!["5"], 47), (2000, vec!["2", "3"], 394)],
        "the pieces in order of cutting"
    );
    assert_eq!(plan.totals.cut_mm, 15, "five cuts of 3 mm");
    assert!(plan.proven && plan.offcut_proven, "a plan this small is proven");
}

#[test]
fn the_last_cut_takes_only_what_is_there() {
    // Hand worked: 500 + 3 + 497 = 1000 exactly, so there is one cut; 500 + 3 + 495 leaves 2 mm, less
    // than the 3 mm of a second cut, which takes them.
    for (second, cut) in [(497, 3), (495, 5)] {
        let case = Case {
            pieces: pieces(&[500, second]),
            in_hand: in_hand(&[1000]),
            sold: Vec::new(),
            cut_mm: 3,
        };
        let plan = cut_plan(&case.order()).expect("both fit");
        assert_eq!((plan.totals.cut_mm, plan.totals.waste_mm), (cut, 0), "second piece {second}");
    }
}

#[test]
fn a_piece_without_a_length_to_cut_it_from_is_named() {
    let too_long = Case {
        pieces: pieces(&[800, 2450]),
        in_hand: in_hand(&[900]),
        sold: vec![ready(2000, None)],
        cut_mm: 0,
    };
    let error = CutError::TooLong { piece: "2".to_owned(), length_mm: 2450, missing_mm: 450 };
    assert_eq!(cut_plan(&too_long.order()), Err(error.clone()), "450 mm are missing");
    assert!(error.to_string().contains("450 mm too short"), "said in words: {error}");

    let twice =
        Case { pieces: pieces(&[800, 850]), in_hand: in_hand(&[900]), sold: Vec::new(), cut_mm: 0 };
    let error = CutError::NotEnough { pieces: vec!["1".to_owned()], missing_mm: 800, proven: true };
    assert_eq!(cut_plan(&twice.order()), Err(error), "the scrap holds one of them");
}

#[test]
fn a_foot_is_not_305_mm() {
    // Hand worked: ten feet are 3048 mm; 3049 mm need eleven feet, 3352.8 mm, of which 3352 are counted.
    for (length, want) in [(3048, 3048), (3049, 3352)] {
        let sold_as = SoldAs::Steps { step_tenths_mm: 3048, steps_max: 100 };
        let by_foot = Sold { label: "by the foot".to_owned(), sold_as, price_minor: None };
        let case =
            Case { pieces: pieces(&[length]), in_hand: Vec::new(), sold: vec![by_foot], cut_mm: 0 };
        let plan = cut_plan(&case.order()).expect("a hundred feet are enough");
        assert_eq!(plan.totals.bought_mm, want, "for a piece of {length} mm");
    }
}
