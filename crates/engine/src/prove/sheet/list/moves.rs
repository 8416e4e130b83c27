//! Readings of how far a figure moves from rest to the test load, the meter left where it is.
//!
//! One such reading sees much at once: what differs between blocks at rest, the zero of a clamp and
//! the gain of a meter fall out of it.

use super::{Writer, halves, plain, tips};
use crate::circuit::wiring::take_off_terminals;
use crate::model::bank::{Bank, BlockId};
use crate::model::lead::{Pole, Terminal};
use crate::plan::build::PartRef;
use crate::plan::proving::Proving;
use crate::plan::readings;
use crate::prove::{At, Drawn, Test};
use crate::units::reading::Quantity;

impl Writer<'_> {
    /// Every such reading.
    pub(super) fn moves(&mut self, proving: &Proving, drawn: &Drawn) {
        for (id, red, black) in self.sags(drawn) {
            self.moved(&id, Quantity::Volts, (&red, &black));
        }
        self.shifts();
        self.spans(drawn);
        let state = self.whole.clone();
        for clamp in &proving.clamps {
            let Some(string) = self.string_of(clamp) else { continue };
            let id = format!("rise {}", BlockId::string_letters(string));
            let probes = format!("{}, zeroed there at rest; then switch the load on", clamp.probes);
            let reading = plain(&id, Quantity::Amps, clamp.range.clone(), probes);
            let at = At::Clamp(self.clamped(string));
            self.book(reading, Test::Load, at, &state).moves = true;
        }
    }

    /// Between which posts and studs volts fall under the load: the bank, what is fed, half the
    /// circuit each from the load to the middle of a string, and the strings down to single blocks.
    fn sags(&self, drawn: &Drawn) -> Vec<(String, Terminal, Terminal)> {
        let (plus, minus) = take_off_terminals(self.bank);
        let series = self.bank.series;
        let mut wanted = vec![("sag of bank".to_owned(), plus, minus)];
        for device in &self.study.design.devices {
            let name = &device.part.name;
            if drawn.device.as_ref() == Some(name) || device.kind.is_charge_source() {
                let studs = (Terminal::stud(name, Pole::Plus), Terminal::stud(name, Pole::Minus));
                wanted.push((format!("sag at {name}"), studs.0, studs.1));
            }
        }
        let strings = (0..self.bank.parallel).filter(|_| 1 < series);
        for (string, name) in strings.flat_map(|s| drawn.device.iter().map(move |d| (s, d))) {
            let block = BlockId { string, place: series / 2 };
            let middle = Terminal::plus(block);
            let studs = (Terminal::stud(name, Pole::Plus), Terminal::stud(name, Pole::Minus));
            wanted.push((format!("sag {name} plus to {block}"), studs.0, middle.clone()));
            wanted.push((format!("sag {block} to {name} minus"), middle, studs.1));
        }
        for string in 0..self.bank.parallel {
            for (first, last) in halves(series, 2) {
                let (a, b) = (BlockId { string, place: first }, BlockId { string, place: last });
                let more = last + 1 < series;
                // On the next block's plus post, so that every link lies in some part.
                let after = Terminal::plus(BlockId { string, place: last + 1 });
                let black = if more { after } else { Terminal::minus(b) };
                let id = match (first == last, more) {
                    (true, true) => format!("sag of {a} with its link"),
                    (true, false) => format!("sag of {a}"),
                    _ => format!("sag of {a} to {b}"),
                };
                wanted.push((id, Terminal::plus(a), black));
            }
        }
        wanted
    }

    /// Between the same posts of two strings side by side, and of the first and the last, which
    /// hardly differ at rest: millivolts.
    fn shifts(&mut self) {
        let strings = self.bank.parallel;
        let mut pairs: Vec<(u32, u32)> = (1..strings).map(|s| (s - 1, s)).collect();
        if 2 < strings {
            pairs.push((0, strings - 1));
        }
        for (near, string) in pairs {
            let minus = (0..self.bank.series).map(|place| (place, false));
            for (place, plus) in std::iter::once((0, true)).chain(minus) {
                let a = BlockId { string: near, place };
                let b = BlockId { string, place };
                let post = |block: BlockId| Terminal::Post { block, plus };
                let id = format!("shift {a} to {b} {}", if plus { "plus" } else { "minus" });
                self.moved(&id, Quantity::Millivolts, (&post(a), &post(b)));
            }
        }
    }

    /// From the outermost posts of the bank on to every stop on the way to the load, so that one
    /// reading sees the links between the strings and the leads behind them: millivolts.
    fn spans(&mut self, drawn: &Drawn) {
        let (plus, minus) = take_off_terminals(self.bank);
        let last = self.bank.parallel.saturating_sub(1);
        let ways = self.ways_to(drawn);
        for string in std::iter::once(0).chain((0 < last).then_some(last)) {
            let (top, bottom) = (Bank::string_plus(string), self.bank.string_minus(string));
            for (_, red, black) in &ways {
                // Of each way one end is where the bank is taken off; the figure falls along it.
                let (post, end, red, black) = match (*red == plus, *black == minus) {
                    (true, _) if top != plus => (&top, black, black, &top),
                    (_, true) if bottom != minus => (&bottom, red, &bottom, red),
                    _ => continue,
                };
                let Terminal::Post { block, plus } = post else { continue };
                let pole = if *plus { "plus" } else { "minus" };
                let id = format!("shift {block} {pole} to {end}");
                self.moved(&id, Quantity::Millivolts, (red, black));
            }
        }
    }

    fn moved(&mut self, id: &str, quantity: Quantity, between: (&Terminal, &Terminal)) {
        let range = match quantity {
            Quantity::Millivolts => "2 V DC".to_owned(),
            _ => readings::range_for(1.05 * self.job.string_volts()),
        };
        let probes = format!(
            "{}; leave the tips on: what it shows at rest less what it shows under load",
            readings::tips(between.0, between.1)
        );
        let reading = plain(id, quantity, range, probes);
        let state = self.whole.clone();
        let expected = self.book(reading, Test::Load, tips(between.0, between.1, true), &state);
        expected.moves = true;
        expected.parts =
            vec![PartRef::Terminal(between.0.clone()), PartRef::Terminal(between.1.clone())];
    }
}
