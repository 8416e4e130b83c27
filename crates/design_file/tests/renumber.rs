//! Blocks get other names wherever a file speaks of them, and every other byte stays.

use design_file::read::read;
use design_file::renumber::{Renumber, renumber};
use engine::model::bank::BlockId;

/// Three strings of two; string B goes, so C becomes B, and the ends on B come to lie on that.
#[track_caller]
fn check(before: &str, after: &str) {
    let up = |id: BlockId| BlockId { string: id.string - u32::from(1 < id.string), ..id };
    let names = Renumber {
        bank: "bank",
        leads: &["plus", "sense", "2", "3"],
        block: &|id| (id.string != 1).then(|| up(id)),
        end: &up,
        link: &|id| match id {
            "2" => None,
            "3" => Some("2".to_owned()),
            id => Some(id.to_owned()),
        },
    };
    let got = renumber(before, &names).expect("it can be renumbered");
    assert_eq!(got, after, "of {before}");
    assert_eq!(read(before).faults.len(), read(&got).faults.len(), "no new fault in {got}");
}

#[test]
fn tables_of_blocks_move_up_with_their_comments() {
    check(
        "[bank]\nparallel = 3\n\n[bank.B1]\nage = \"1 year\"\n\n[bank.C2] # new\nage = \"2 years\"\n",
        "[bank]\nparallel = 3\n\n[bank.B2] # new\nage = \"2 years\"\n",
    );
    check(
        "[bank]\nA1.age = \"3 years\"\nC1.age = \"1 year\"\nC1.have = true\n",
        "[bank]\nA1.age = \"3 years\"\nB1.age = \"1 year\"\nB1.have = true\n",
    );
    check("[bank]\nC1 = { have = true }\n", "[bank]\nB1 = { have = true }\n");
}

#[test]
fn ends_of_leads_the_take_off_and_straps_follow() {
    check(
        "[lead.plus]\nfrom = \"C1 +\" # thick\nto = \"main in\"\n\n[lead.other]\nfrom = \"C1 +\"\nto = \"main in\"\n",
        "[lead.plus]\nfrom = \"B1 +\" # thick\nto = \"main in\"\n\n[lead.other]\nfrom = \"C1 +\"\nto = \"main in\"\n",
    );
    check(
        "[bank]\ntakeoff = { plus = \"A1 +\", minus = \"C2 -\" }\n",
        "[bank]\ntakeoff = { plus = \"A1 +\", minus = \"B2 -\" }\n",
    );
    check(
        "[hold.straps]\nkind = \"strap\"\nover = [\"A1\", \"B1\", \"C1\"]\n",
        "[hold.straps]\nkind = \"strap\"\nover = [\"A1\", \"B1\"]\n",
    );
}

#[test]
fn records_and_links_follow_by_name_and_number() {
    check(
        "[as_built.volts]\nA1 = \"6.3 V\"\nB1 = \"6.2 V\"\nC1 = \"6.1 V\"\n\"string C\" = \"12.6 V\"\n\"gap 3\" = \"0 V\"\n",
        "[as_built.volts]\nA1 = \"6.3 V\"\nB1 = \"6.1 V\"\n\"string B\" = \"12.6 V\"\n\"gap 2\" = \"0 V\"\n",
    );
    check(
        "[as_built.post.\"C1 -\"]\ntorque = \"11 Nm\"\n\n[as_built.post.\"main in\"]\nboot = true\n",
        "[as_built.post.\"B1 -\"]\ntorque = \"11 Nm\"\n\n[as_built.post.\"main in\"]\nboot = true\n",
    );
    check(
        "[lead.2]\nlength = \"1 m\"\n\n[lead.3]\nlength = \"2 m\"\n",
        "[lead.2]\nlength = \"2 m\"\n",
    );
}
