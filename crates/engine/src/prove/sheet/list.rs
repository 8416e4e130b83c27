//! The list itself: which readings there are, where the tips go, and what is fitted meanwhile.

mod moves;

use super::Draft;
use crate::circuit::error::SolveError;
use crate::circuit::paths::{Step, WayMap};
use crate::circuit::wiring::{LeadRole, WiredLead, take_off_terminals};
use crate::evidence::readings::Readings;
use crate::model::bank::{Bank, BlockId};
use crate::model::device::DeviceKind;
use crate::model::lead::{Pole, Terminal};
use crate::plan::bench::{Bench, Gap, State};
use crate::plan::build::{PartRef, Reading};
use crate::plan::job::Job;
use crate::plan::order::{device_depth, in_order};
use crate::plan::proving::{JointProof, Judged, Proving};
use crate::plan::readings;
use crate::prove::rig::Rig;
use crate::prove::{At, Clamped, Drawn, Expected, Point, Test};
use crate::study::Study;
use crate::units::reading::Quantity;

/// The points between which something is drawn, plus first.
pub(super) fn points(study: &Study, rig: &Rig, drawn: &Drawn) -> Option<(usize, usize)> {
    let (plus, minus) = match &drawn.device {
        Some(name) => (Terminal::stud(name, Pole::Plus), Terminal::stud(name, Pole::Minus)),
        None => take_off_terminals(study.design.bank()?),
    };
    Some((rig.terminal(&plus)?, rig.terminal(&minus)?))
}

/// What the list is written from.
struct Writer<'a> {
    study: &'a Study,
    job: &'a Job<'a>,
    bank: &'a Bank,
    bench: Bench<'a>,
    /// Everything bolted and closed.
    whole: State,
    drafts: Vec<Draft>,
}

/// Every reading, in the order of the gates.
pub(super) fn all(
    study: &Study,
    job: &Job<'_>,
    conditions: &Readings,
) -> Result<Vec<Draft>, SolveError> {
    let Some(bank) = study.design.bank() else {
        return Ok(Vec::new());
    };
    let mut whole = State::default();
    whole.leads.extend(study.wiring.leads.iter().map(|l| l.id.clone()));
    let closed = study.design.devices.iter().filter(|d| d.kind.passes_through());
    whole
        .devices
        .extend(closed.filter(|d| d.kind != DeviceKind::Precharge).map(|d| d.part.name.clone()));
    let bench = job.bench();
    let mut writer = Writer { study, job, bank, bench, whole, drafts: Vec::new() };
    let proving = Proving::at(job, conditions.test.map(crate::units::Current::as_amps))?;
    writer.apart();
    writer.strings()?;
    writer.gaps()?;
    writer.rest()?;
    writer.standby(&proving);
    let load = Drawn { device: study.consumer.device.clone(), amps: proving.test_a };
    writer.load(&proving, &load);
    if let Some(charge) = charge(study, conditions) {
        writer.charging(&proving, &charge);
    }
    Ok(writer.drafts)
}

/// Amps that were written beside a reading, as readings of their own: those of the joint or lead for
/// millivolts, those of the load or charge for volts.
pub(super) fn beside(drafts: &[Draft], conditions: &Readings) -> Vec<Draft> {
    let mut found = Vec::new();
    for taken in conditions.taken.iter().filter(|t| t.amps.is_some()) {
        let Some(draft) = drafts.iter().find(|d| d.expected.id == taken.what) else { continue };
        let expected = &draft.expected;
        let lead = match (&expected.at, expected.quantity) {
            (At::Between { black: Point::Lug { lead, .. }, .. }, _) => Some(lead.clone()),
            (_, Quantity::Millivolts) => expected.id.strip_prefix("lead ").map(str::to_owned),
            _ => None,
        };
        if expected.drawn.is_none() || (lead.is_none() && expected.quantity != Quantity::Volts) {
            continue;
        }
        let at = lead.map_or(Clamped::Drawn, |lead| Clamped::Lead { lead, backwards: false });
        let expected = Expected {
            id: format!("amps of {}", expected.id),
            quantity: Quantity::Amps,
            expect: None,
            low: None,
            high: None,
            at: At::Clamp(at),
            ..expected.clone()
        };
        found.push(Draft { expected, alone: false, hidden: true });
    }
    found
}

/// The source that gives most, and how much.
fn charge(study: &Study, conditions: &Readings) -> Option<Drawn> {
    let largest = study
        .currents
        .iter()
        .filter(|c| c.current.steady.as_amps() < 0.0)
        .filter(|c| study.netlist.device_terminals(&c.device).is_some())
        .min_by(|a, b| a.current.steady.as_amps().total_cmp(&b.current.steady.as_amps()))?;
    let said = conditions.charge.map(crate::units::Current::as_amps);
    let amps = -said.map_or_else(|| largest.current.steady.as_amps().abs(), f64::abs);
    Some(Drawn { device: Some(largest.device.clone()), amps })
}

/// Tips on two posts or studs.
fn tips(red: &Terminal, black: &Terminal, signed: bool) -> At {
    At::Between { red: Point::Terminal(red.clone()), black: Point::Terminal(black.clone()), signed }
}

impl<'a> Writer<'a> {
    /// Puts a reading of the book on the list.
    fn book(&mut self, reading: Reading, test: Test, at: At, state: &State) -> &mut Expected {
        let judged = reading.low.is_some() || reading.high.is_some();
        self.drafts.push(Draft {
            expected: Expected {
                id: reading.id,
                quantity: reading.quantity,
                test,
                expect: reading.expect,
                low: reading.low.filter(|_| judged),
                high: reading.high.filter(|_| judged),
                range: reading.range,
                probes: reading.probes,
                at,
                state: state.clone(),
                drawn: None,
                moves: false,
                parts: Vec::new(),
                needs_amps: None,
                note: reading.note,
            },
            alone: false,
            hidden: false,
        });
        let last = self.drafts.len() - 1;
        &mut self.drafts[last].expected
    }

    /// Puts volts between two posts on the list; the network says how many.
    fn volts(
        &mut self,
        id: &str,
        test: Test,
        between: (&Terminal, &Terminal),
        most: f64,
    ) -> &mut Expected {
        let reading = plain(
            id,
            Quantity::Volts,
            readings::range_for(most),
            readings::tips(between.0, between.1),
        );
        let state = self.whole.clone();
        let at = tips(between.0, between.1, true);
        let expected = self.book(reading, test, at, &state);
        expected.parts =
            vec![PartRef::Terminal(between.0.clone()), PartRef::Terminal(between.1.clone())];
        expected
    }

    fn apart(&mut self) {
        for block in &self.study.facts.blocks {
            let id = block.id;
            let reading = readings::block(self.job, id);
            let at = tips(&Terminal::plus(id), &Terminal::minus(id), true);
            let expected = self.book(reading, Test::Apart, at, &State::default());
            expected.parts = vec![PartRef::Block(id)];
        }
    }

    /// Open strings, and each string of more than two blocks as it grows.
    fn strings(&mut self) -> Result<(), SolveError> {
        let series = |l: &&WiredLead| l.role == LeadRole::SeriesLink;
        let links: Vec<&WiredLead> = self.study.wiring.leads.iter().filter(series).collect();
        if links.is_empty() {
            return Ok(());
        }
        let mut state = State::default();
        state.leads.extend(links.iter().map(|l| l.id.clone()));
        for string in 0..self.bank.parallel {
            let (red, black) = readings::string_ends(self.bank, string);
            let id = format!("string {}", BlockId::string_letters(string));
            let reading = readings::volts(self.job, &self.bench, &state, &id, (&red, &black))?;
            let expected = self.book(reading, Test::Strings, tips(&red, &black, true), &state);
            expected.parts = vec![PartRef::Terminal(red), PartRef::Terminal(black)];
        }
        if self.bank.series <= 2 {
            return Ok(());
        }
        for link in links {
            let Some(lower) = link.to.block() else { continue };
            if lower.place + 1 >= self.bank.series {
                continue;
            }
            let (red, black) = (Bank::string_plus(lower.string), Terminal::minus(lower));
            let id = format!("after {}", link.id);
            let reading = readings::volts(self.job, &self.bench, &state, &id, (&red, &black))?;
            let expected = self.book(reading, Test::Strings, tips(&red, &black, true), &state);
            expected.parts = vec![PartRef::Lead(link.id.clone())];
        }
        Ok(())
    }

    /// Every lead, fuse or switch that closes a loop, as it is reached in the order of hands.
    fn gaps(&mut self) -> Result<(), SolveError> {
        let mut state = State::default();
        let stays = |kind: DeviceKind| matches!(kind, DeviceKind::Shunt | DeviceKind::Bms);
        let devices = &self.study.design.devices;
        state.devices.extend(devices.iter().filter(|d| stays(d.kind)).map(|d| d.part.name.clone()));
        for lead in in_order(&self.study.design, &self.study.wiring) {
            if let Gap::Loop(volts) = self.bench.gap(&state, lead)? {
                self.gap(&lead.id, (&lead.from, &lead.to), volts, &state);
            }
            state.leads.insert(lead.id.clone());
        }
        let depth = |name: &str| device_depth(&self.study.design, &self.study.wiring, name);
        let mut openable: Vec<(bool, usize, &str)> = devices
            .iter()
            .filter(|d| self.whole.devices.contains(&d.part.name) && !stays(d.kind))
            .map(|d| (d.kind.is_overcurrent(), usize::MAX - depth(&d.part.name), &*d.part.name))
            .collect();
        openable.sort();
        for (_, _, name) in openable {
            if let Gap::Loop(volts) = self.bench.gap_of_device(&state, name)? {
                let ends = (Terminal::stud(name, Pole::In), Terminal::stud(name, Pole::Out));
                self.gap(name, (&ends.0, &ends.1), volts, &state);
            }
            state.devices.insert(name.to_owned());
        }
        Ok(())
    }

    fn gap(&mut self, id: &str, between: (&Terminal, &Terminal), volts: f64, state: &State) {
        let mut reading = readings::gap(self.job, id, between, volts);
        if self.study.wiring.lead(id).is_some() {
            reading.probes = format!("red on the loose lug, black on {}", between.1);
        }
        let expected = self.book(reading, Test::Gap, tips(between.0, between.1, true), state);
        expected.parts =
            vec![PartRef::Terminal(between.0.clone()), PartRef::Terminal(between.1.clone())];
    }

    /// Bank, blocks and everything fed, with nothing drawn.
    fn rest(&mut self) -> Result<(), SolveError> {
        let (plus, minus) = take_off_terminals(self.bank);
        let mut wanted = vec![("bank".to_owned(), plus, minus.clone())];
        for device in &self.study.design.devices {
            let name = &device.part.name;
            if device.kind.is_overcurrent() && self.first_fuses().contains(name) {
                let red = Terminal::stud(name, Pole::In);
                wanted.push((format!("before {name}"), red, minus.clone()));
            }
            if device.kind.is_load() || device.kind.is_charge_source() {
                let studs = (Terminal::stud(name, Pole::Plus), Terminal::stud(name, Pole::Minus));
                wanted.push((format!("at {name}"), studs.0, studs.1));
            }
        }
        let state = self.whole.clone();
        for (id, red, black) in wanted {
            let reading = readings::volts(self.job, &self.bench, &state, &id, (&red, &black))?;
            if reading.expect.is_none() {
                continue;
            }
            let expected = self.book(reading, Test::Rest, tips(&red, &black, true), &state);
            expected.parts = vec![PartRef::Terminal(red), PartRef::Terminal(black)];
        }
        if self.study.facts.blocks.len() > 1 {
            self.blocks("at rest", Test::Rest);
        }
        Ok(())
    }

    /// Fuses right at the bank, which the book puts in last.
    fn first_fuses(&self) -> Vec<String> {
        let depth = |name: &str| device_depth(&self.study.design, &self.study.wiring, name);
        let fuses = self.study.design.devices.iter().filter(|d| d.kind.is_overcurrent());
        let all: Vec<(usize, &String)> =
            fuses.map(|d| (depth(&d.part.name), &d.part.name)).collect();
        let least = all.iter().map(|f| f.0).min();
        all.iter().filter(|f| Some(f.0) == least).map(|f| f.1.clone()).collect()
    }

    /// Every block, and parts of long strings, in one test.
    fn blocks(&mut self, when: &str, test: Test) {
        for block in &self.study.facts.blocks {
            let posts = (Terminal::plus(block.id), Terminal::minus(block.id));
            let most = 1.2 * block.emf.as_volts();
            let expected =
                self.volts(&format!("{} {when}", block.id), test, (&posts.0, &posts.1), most);
            expected.parts = vec![PartRef::Block(block.id)];
        }
        for string in 0..self.bank.parallel {
            for (first, last) in halves(self.bank.series, 4) {
                let (a, b) = (BlockId { string, place: first }, BlockId { string, place: last });
                let most = self.job.string_volts();
                let id = format!("{a} to {b} {when}");
                // On the next block's plus post, so that every link lies in some part.
                let after = BlockId { string, place: last + 1 };
                let whole = last + 1 < self.bank.series;
                let black = if whole { Terminal::plus(after) } else { Terminal::minus(b) };
                self.volts(&id, test, (&Terminal::plus(a), &black), most);
            }
        }
    }

    fn standby(&mut self, proving: &Proving) {
        let state = self.whole.clone();
        self.book(proving.standby.clone(), Test::Standby, At::Standby, &state);
        if let Some(last) = self.drafts.last_mut() {
            last.alone = true;
        }
    }

    fn load(&mut self, proving: &Proving, drawn: &Drawn) {
        let first = self.drafts.len();
        let state = self.whole.clone();
        let probes = "clamp the main minus lead".to_owned();
        let amps = plain("test load", Quantity::Amps, "DC amps, zeroed".to_owned(), probes);
        self.book(amps, Test::Load, At::Clamp(Clamped::Drawn), &state);
        let (plus, minus) = take_off_terminals(self.bank);
        self.volts("bank under load", Test::Load, (&plus, &minus), 1.05 * proving.bank_volts);
        if self.study.facts.blocks.len() > 1 {
            self.blocks("under load", Test::Load);
        }
        for clamp in &proving.clamps {
            let Some(string) = self.string_of(clamp) else { continue };
            let at = At::Clamp(self.clamped(string));
            self.book(clamp.clone(), Test::Load, at, &state);
        }
        self.ways(drawn);
        for joint in proving.joints.iter().filter(|j| j.carries()) {
            let Some(at) = self.joint(joint) else { continue };
            let mut reading = joint.reading(proving.test_a);
            // Too small a load leaves no limit to judge by, only what the spreads allow.
            reading.low = None;
            let needs = match joint.judged {
                Judged::Larger(amps) | Judged::Never(amps) => Some(amps),
                Judged::Here | Judged::Idle => None,
            };
            let expected = self.book(reading, Test::Load, at, &state);
            expected.needs_amps = needs;
            expected.parts =
                vec![PartRef::Lead(joint.lead.clone()), PartRef::Terminal(joint.terminal.clone())];
        }
        self.leads(proving, &state);
        self.moves(proving, drawn);
        for draft in &mut self.drafts[first..] {
            draft.expected.drawn = Some(drawn.clone());
        }
    }

    /// Every lead that carries the load, from post to post.
    fn leads(&mut self, proving: &Proving, state: &State) {
        for lead in &self.study.wiring.leads {
            if !proving.of_lead(lead).any(JointProof::carries) {
                continue;
            }
            let probes = format!("one tip on {}, one on {}", lead.from, lead.to);
            let id = format!("lead {}", lead.id);
            let reading = plain(&id, Quantity::Millivolts, "200 mV DC".to_owned(), probes);
            let at = tips(&lead.from, &lead.to, false);
            let expected = self.book(reading, Test::Load, at, state);
            expected.parts = vec![PartRef::Lead(lead.id.clone())];
        }
    }

    /// What is lost from the bank to the load, plus and minus each at once, and along the links
    /// that join the strings: one reading over many joints.
    fn ways(&mut self, drawn: &Drawn) {
        let mut wanted = self.ways_to(drawn);
        let last = self.bank.parallel.saturating_sub(1);
        if last > 0 {
            wanted.push(("plus side".to_owned(), Bank::string_plus(last), Bank::string_plus(0)));
            let ends = (self.bank.string_minus(0), self.bank.string_minus(last));
            wanted.push(("minus side".to_owned(), ends.0, ends.1));
        }
        self.lost("", Test::Load, wanted);
    }

    /// The ways from the bank to a device and back: whole ones first, then to each stop on them.
    fn ways_to(&self, drawn: &Drawn) -> Vec<(String, Terminal, Terminal)> {
        let (plus, minus) = take_off_terminals(self.bank);
        let mut wanted = Vec::new();
        let Some(device) = &drawn.device else { return wanted };
        let ways = WayMap::of(&self.study.design, &self.study.wiring);
        let ends = (Terminal::stud(device, Pole::Plus), Terminal::stud(device, Pole::Minus));
        wanted.push(("plus way".to_owned(), plus.clone(), ends.0));
        wanted.push(("minus way".to_owned(), ends.1, minus.clone()));
        for stop in self.stops(ways.out(device).unwrap_or_default(), &plus) {
            wanted.push((format!("plus way to {stop}"), plus.clone(), stop));
        }
        let mut back = ways.back(device).unwrap_or_default();
        back.reverse();
        for stop in self.stops(back, &minus) {
            wanted.push((format!("minus way from {stop}"), stop, minus.clone()));
        }
        wanted
    }

    /// Millivolts lost between points, with their sign.
    fn lost(&mut self, when: &str, test: Test, wanted: Vec<(String, Terminal, Terminal)>) {
        let state = self.whole.clone();
        for (id, red, black) in wanted {
            // Strings that share evenly leave nothing over their links: here the sign tells which
            // way the rest of it flows.
            let probes = readings::tips(&red, &black);
            let id = format!("{id}{when}");
            let reading = plain(&id, Quantity::Millivolts, "2 V DC".to_owned(), probes);
            let expected = self.book(reading, test, tips(&red, &black, true), &state);
            expected.parts = vec![PartRef::Terminal(red), PartRef::Terminal(black)];
        }
    }

    /// Where the leads of a way end, the last one left out.
    fn stops(&self, way: Vec<Step>, start: &Terminal) -> Vec<Terminal> {
        let leads: Vec<&WiredLead> =
            way.iter().filter_map(|s| self.study.wiring.lead(&s.lead()?)).collect();
        let mut stops = Vec::new();
        let mut near = start.clone();
        for (index, lead) in leads.iter().enumerate() {
            let ends_next = |end: &Terminal| match leads.get(index + 1) {
                Some(next) => [&next.from, &next.to]
                    .into_iter()
                    .any(|t| t == end || (t.device().is_some() && t.device() == end.device())),
                None => false,
            };
            let far = if lead.from == near || (lead.to != near && ends_next(&lead.to)) {
                lead.to.clone()
            } else {
                lead.from.clone()
            };
            near = far.clone();
            if index + 1 < leads.len() {
                stops.push(far);
            }
        }
        stops
    }

    fn charging(&mut self, proving: &Proving, drawn: &Drawn) {
        let first = self.drafts.len();
        let Some(device) = &drawn.device else { return };
        let state = self.whole.clone();
        let probes = format!("clamp a lead of {device}, arrow away from the bank");
        let amps = plain("charge", Quantity::Amps, "DC amps, zeroed".to_owned(), probes);
        self.book(amps, Test::Charging, At::Clamp(Clamped::Drawn), &state);
        let most = 1.3 * self.job.string_volts();
        let studs = (Terminal::stud(device, Pole::Plus), Terminal::stud(device, Pole::Minus));
        self.volts(&format!("{device} charging"), Test::Charging, (&studs.0, &studs.1), most);
        let (plus, minus) = take_off_terminals(self.bank);
        self.volts("bank charging", Test::Charging, (&plus, &minus), most);
        if self.study.facts.blocks.len() > 1 {
            self.blocks("charging", Test::Charging);
        }
        for clamp in &proving.clamps {
            let Some(string) = self.string_of(clamp) else { continue };
            let id = format!("{} charging", clamp.id);
            let reading = plain(&id, Quantity::Amps, clamp.range.clone(), clamp.probes.clone());
            self.book(reading, Test::Charging, At::Clamp(self.clamped(string)), &state);
        }
        let ways = self.ways_to(drawn);
        self.lost(" charging", Test::Charging, ways);
        for joint in self.charged_joints(drawn) {
            let Some(at) = self.joint(&joint) else { continue };
            let probes = joint.reading(drawn.amps).probes;
            let probes = probes.split(';').next().unwrap_or_default().to_owned();
            let id = format!("{} charging", joint.id);
            let reading = plain(&id, Quantity::Millivolts, "200 mV DC".to_owned(), probes);
            let expected = self.book(reading, Test::Charging, at, &state);
            expected.parts =
                vec![PartRef::Lead(joint.lead.clone()), PartRef::Terminal(joint.terminal.clone())];
        }
        for draft in &mut self.drafts[first..] {
            draft.expected.drawn = Some(drawn.clone());
        }
    }

    /// The joints on the way of the charge.
    fn charged_joints(&self, drawn: &Drawn) -> Vec<JointProof> {
        let share = self.study.share(&crate::circuit::share::Draw::Devices(
            drawn
                .device
                .iter()
                .map(|d| (d.clone(), crate::units::Current::amps(drawn.amps)))
                .collect(),
        ));
        let Ok(share) = share else { return Vec::new() };
        let carrying = share.joints.iter().filter(|j| j.amps.abs() > 1e-6 && j.micro_ohm > 0.0);
        carrying
            .map(|j| JointProof {
                id: j.id.clone(),
                lead: j.id.rsplit_once('.').map_or(&*j.id, |(lead, _)| lead).to_owned(),
                terminal: j.terminal.clone(),
                amps: j.amps.abs(),
                micro_ohm: j.micro_ohm,
                expect_mv: j.drop_mv.abs(),
                high_mv: j.drop_mv.abs(),
                judged: Judged::Here,
            })
            .collect()
    }

    fn joint(&self, joint: &JointProof) -> Option<At> {
        let lead = self.study.wiring.lead(&joint.lead)?;
        let at_start = joint.id.ends_with(".from");
        let red = if at_start { &lead.from } else { &lead.to };
        Some(At::Between {
            red: Point::Terminal(red.clone()),
            black: Point::Lug { lead: lead.id.clone(), at_start },
            signed: false,
        })
    }

    fn string_of(&self, clamp: &Reading) -> Option<u32> {
        let letters = clamp.id.strip_prefix("clamp ")?;
        (0..self.bank.parallel).find(|s| BlockId::string_letters(*s) == letters)
    }

    /// Round a lead that carries the whole string and nothing else, where there is one.
    fn clamped(&self, string: u32) -> Clamped {
        let first = BlockId { string, place: 0 };
        let last = BlockId { string, place: self.bank.series.saturating_sub(1) };
        let (minus, plus) = (Terminal::minus(first), Terminal::plus(first));
        // The arrow points the way of a discharge: into a minus post, out of a plus post.
        let ends = [(minus, true), (plus, false), (Terminal::minus(last), true)];
        for (post, into) in ends {
            let mut on = self.study.wiring.at(&post);
            if let (Some(lead), None) = (on.next(), on.next()) {
                let backwards = (lead.from == post) == into;
                return Clamped::Lead { lead: lead.id.clone(), backwards };
            }
        }
        Clamped::Block(first)
    }
}

/// A reading without a band.
fn plain(id: &str, quantity: Quantity, range: String, probes: String) -> Reading {
    Reading {
        id: id.to_owned(),
        quantity,
        expect: None,
        low: None,
        high: None,
        range,
        probes,
        between: None,
        note: None,
    }
}

/// Parts of a string, each about half of the one before, down to parts of `least` blocks cut in two: a
/// fault is cornered in few readings.
fn halves(series: u32, least: u32) -> Vec<(u32, u32)> {
    let mut found = Vec::new();
    let mut open = vec![(0, series)];
    while let Some((first, end)) = open.pop() {
        if end - first < least {
            continue;
        }
        let middle = first + (end - first) / 2;
        for part in [(first, middle), (middle, end)] {
            found.push((part.0, part.1 - 1));
            open.push(part);
        }
    }
    found.sort_by_key(|(first, last)| (std::cmp::Reverse(last - first), *first));
    found
}
