//! R25: gross, axle or payload over its plate, and a boat that will list.

use super::context::{CheckError, Context, Said, listed, owner};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::fit::weight::{Unknown, Weight};
use crate::model::rig::RigKind;
use crate::units::{Mass, show};

const PLATE: &str = "Tyres, springs, brakes and frame are made for the plate.";

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let weight = Weight::of(cx.study, cx.whole, cx.tables);
    let asking = Asking { cx, weight: &weight };
    let mut said = match weight.kind {
        RigKind::Trailer | RigKind::Van => asking.wheels(),
        RigKind::Boat => asking.afloat().into_iter().collect(),
        RigKind::Cabin => Vec::new(),
    };
    said.extend(asking.own_limit());
    Ok(said)
}

struct Asking<'a, 'b> {
    cx: &'a Context<'b>,
    weight: &'a Weight,
}

impl Asking<'_, '_> {
    fn one(&self, severity: Severity, path: &str, says: String, remedy: String) -> Said {
        Said {
            severity,
            path: path.to_owned(),
            part: "weight".to_owned(),
            says,
            remedy,
            why: PLATE,
            sources: vec![owner(), Cite::physics("masses added up")],
            gates: None,
        }
    }

    fn shown(&self, mass: Mass) -> String {
        show::weight(mass, self.cx.units())
    }

    fn wheels(&self) -> Vec<Said> {
        let after = self.weight.after();
        let mut said = Vec::new();
        let mut silent: Vec<(String, String)> = Vec::new();
        let axle_path = |id: &str| {
            if self.weight.kind == RigKind::Trailer {
                "vehicle.axle_max".to_owned()
            } else {
                format!("vehicle.axle.{id}.max")
            }
        };
        let mut loads = vec![(
            "gross".to_owned(),
            self.weight.gross_plate.path.to_owned(),
            after.gross,
            self.weight.gross_plate.max,
        )];
        for axle in &after.axles {
            loads.push((axle.id.clone(), axle_path(&axle.id), axle.load, axle.plate));
        }
        for (what, path, load, plate) in loads {
            match (load, plate) {
                (Some(load), Some(plate)) if plate < load => {
                    said.push(self.over(&what, &path, load, plate));
                }
                (_, None) => silent.push((format!("the plate of the {what}"), path)),
                _ => {}
            }
        }
        said.extend(self.payload());
        said.extend(self.not_known(&silent));
        said.extend(self.left_out());
        said
    }

    fn over(&self, what: &str, path: &str, load: Mass, plate: Mass) -> Said {
        let says = format!("{} {what}; its plate allows {}.", self.shown(load), self.shown(plate));
        let remedy = format!("Take {} out before it goes on the road.", self.shown(load - plate));
        self.one(Severity::Stop, path, says, remedy)
    }

    fn payload(&self) -> Option<Said> {
        let plate = self.weight.payload_plate.max?;
        let after = self.weight.after();
        let (load, what) = match after.payload {
            Some(load) => (load, "payload"),
            None => (after.added, "added, beside what was loaded already"),
        };
        (plate < load).then(|| self.over(what, "vehicle.payload_max", load, plate))
    }

    /// What nobody said is one finding, not many.
    fn not_known(&self, silent: &[(String, String)]) -> Option<Said> {
        // The ball itself is the business of R23.
        let ball = |u: &&Unknown| u.path.starts_with("vehicle.ball");
        let missing: Vec<&Unknown> = self.weight.missing().filter(|u| !ball(u)).collect();
        let mut what: Vec<&str> = missing.iter().map(|u| u.what.as_str()).collect();
        what.extend(silent.iter().map(|s| s.0.as_str()));
        let (path, remedy) = match (missing.first(), silent.first()) {
            (Some(first), _) => (&first.path, format!("{}; write {}.", first.find, first.path)),
            (None, Some((_, path))) => (path, format!("Read the plate and write {path}.")),
            (None, None) => return None,
        };
        let says =
            format!("Whether it is over a plate is not known: nobody said {}.", listed(&what));
        Some(self.one(Severity::Stop, path, says, remedy))
    }

    fn left_out(&self) -> Option<Said> {
        let left: Vec<&Unknown> = self.weight.left_out().collect();
        let first = left.first()?;
        let what: Vec<&str> = left.iter().map(|u| u.what.as_str()).collect();
        let says = format!("The sum leaves parts out: nobody said {}.", listed(&what));
        Some(self.one(
            Severity::Fix,
            &first.path,
            says,
            format!("{}; write {}.", first.find, first.path),
        ))
    }

    /// Asked only where the owner set a limit.
    fn afloat(&self) -> Option<Said> {
        let most = self.cx.whole.vehicle.as_ref()?.list_max_kg_m?;
        let shown = |m: f64| format!("{} kg m", show::fixed(m.abs(), 0));
        let (path, says, remedy) = match self.weight.after().list_kg_m {
            None => {
                let missing = self.weight.missing().next();
                let what = missing.map_or("where the bank sits", |u| u.what.as_str());
                let path = missing.map_or("box.off_centre", |u| u.path.as_str());
                let says = format!("Whether she will list is not known: nobody said {what}.");
                let find = missing.map_or("Measure from the centreline", |u| u.find);
                (path.to_owned(), says, format!("{find}; write {path}."))
            }
            Some(list) if list.abs() > most => {
                let side = if list < 0.0 { "port" } else { "starboard" };
                let says =
                    format!("It will list: {} to {side}; you accept {}.", shown(list), shown(most));
                let remedy = "Put the bank nearer to the centreline or ballast on the other side, as \
                              high above the bilge as is practicable.";
                ("box.off_centre".to_owned(), says, remedy.to_owned())
            }
            Some(_) => return None,
        };
        let mut said = self.one(Severity::Note, &path, says, remedy);
        said.why = "A boat that leans takes water where none was meant, and heels further one way.";
        Some(said)
    }

    fn own_limit(&self) -> Option<Said> {
        let most = self.cx.whole.limits.mass?;
        let added = self.weight.after().added;
        if added <= most {
            return None;
        }
        let says = format!(
            "{} is added in all; your own limit is {}.",
            self.shown(added),
            self.shown(most)
        );
        let remedy = format!("Leave {} out, or raise limit.mass.", self.shown(added - most));
        Some(self.one(Severity::Fix, "limit.mass", says, remedy))
    }
}
