//! The producer's page, from answers of the solver and from one that was written by hand.

use ampwalk_core::assess::Subject;
use ampwalk_core::id::OutletId;
use ampwalk_core::network::{At, HeadAt, Network, RcdAt};
use ampwalk_core::plan::{Fuel, Wiring};
use ampwalk_core::solve::Effort;
use ampwalk_core::solve::verdict::{Hire, Need, ProducersAnswer, Reason, generator};
use ampwalk_core::unit::{KiloVoltAmps, Litres};

use crate::{Basis, Sheet, Value, generator_sheet};

use super::table::{cell, is, part, says};
use super::{HALL, read};

fn answer(text: &str) -> (Network, ProducersAnswer) {
    let (network, _) = read(text);
    let answer = generator(&network, Effort::default(), &mut |_| true);
    (network, answer)
}

/// The answer for the hall, in which every need and figure is put by hand.
fn by_hand(need: Need) -> Sheet {
    let (network, house) = answer(HALL);
    let answer = ProducersAnswer {
        need,
        is_proven: true,
        was_stopped: false,
        summary: "Told by hand.".to_owned(),
        reason: Some(Reason {
            head: Some(HeadAt::new(0)),
            limit: "rcd-trips",
            subject: Subject::Rcd(RcdAt::new(0)),
            needed: Some(12.34),
            there: Some(10.0),
            unit: "mA",
            text: "H10 drops RA".to_owned(),
        }),
        ways_out: Vec::new(),
        hire: Some(Hire {
            kva: Some(KiloVoltAmps(6.5)),
            computed_kva: KiloVoltAmps(5.484),
            wiring: Wiring::One,
            hours: 4.0,
            fuel: Fuel::Petrol,
            litres: Some(Litres(8.1)),
            heads: vec![HeadAt::new(0)],
            outlets: vec![(OutletId::from("au-10"), 2)],
            notes: vec!["stands outdoors".to_owned()],
        }),
        house: house.house,
    };
    generator_sheet(&network, &answer)
}

#[test]
fn the_page_is_the_one_that_was_looked_at_and_kept() {
    let text = by_hand(Need::Yes).to_text(80);
    assert_eq!(text, include_str!("hire-80.txt"), "new text:\n{text}");
}

#[test]
fn the_verdict_is_the_first_line_and_the_set_is_what_was_asked_for() {
    let sheet = by_hand(Need::Yes);
    assert_eq!(sheet.fields[0].name, "verdict");
    assert_eq!(sheet.fields[0].value.as_deref(), Some("YES, a generator"));
    assert!(by_hand(Need::OnlyIf).fields[0].value.as_deref().is_some_and(|value| value.contains("ONLY IF")));
    let set = part(sheet.clone(), "hire");
    is(cell(&set, "generator", "size", "kVA"), 6.5, Basis::Assumed);
    is(cell(&set, "generator", "computed", "kVA"), 5.484, Basis::Assumed);
    is(cell(&set, "generator", "burns about", "l"), 8.1, Basis::Assumed);
    is(cell(&set, "generator", "runs", "h"), 4.0, Basis::Plan);
    says(cell(&set, "generator", "for heads", ""), "H10");
    let reason = part(sheet.clone(), "reason");
    says(cell(&reason, "rcd-trips", "needed", ""), "12.3 mA");
    says(cell(&reason, "rcd-trips", "of", ""), "RA");
    is(cell(&part(sheet, "outlet"), "au-10", "at once", "pcs"), 2.0, Basis::Assumed);
}

#[test]
fn costs_are_left_to_the_producer() {
    let costs = part(by_hand(Need::Yes), "cost");
    assert!(costs.rows.len() > 4);
    for row in &costs.rows {
        assert!(row.cells[1..].iter().all(|cell| cell.value == Value::Blank), "{row:?}");
    }
}

#[test]
fn a_house_that_carries_everything_asks_for_no_set() {
    let (network, answer) = answer(HALL);
    assert_eq!(answer.need, Need::No, "{}", answer.summary);
    let sheet = generator_sheet(&network, &answer);
    assert_eq!(sheet.fields[0].value.as_deref(), Some("NO generator"));
    for name in ["reason", "way", "hire", "outlet", "point"] {
        assert!(part(sheet.clone(), name).rows.is_empty(), "{name}");
    }
    assert!(!sheet.fields.iter().any(|field| field.name == "noise limit"));
    assert!(sheet.to_text(80).contains("certifies nothing"));
}

#[test]
fn what_no_wall_carries_asks_for_a_set_or_a_way_out_and_says_why() {
    // 9 kW on 230 V are 39 A: no breaker of the hall carries that.
    let text = HALL.replace("watts = 460", "watts = 9000");
    let (network, answer) = answer(&text);
    assert_ne!(answer.need, Need::No, "{}", answer.summary);
    let sheet = generator_sheet(&network, &answer);
    let is_yes = answer.need == Need::Yes;
    let verdict = sheet.fields[0].value.clone().unwrap_or_default();
    assert_eq!(verdict.starts_with("YES"), is_yes, "{verdict}");
    assert_eq!(part(sheet.clone(), "way").rows.is_empty(), is_yes);
    assert_eq!(part(sheet.clone(), "reason").rows.len(), 1);
    says(cell(&part(sheet.clone(), "hire"), "generator", "for heads", ""), "H10");
    assert!(!part(sheet.clone(), "point").rows.is_empty());
    let text = sheet.to_text(200);
    for way in &answer.ways_out {
        assert!(way.action.split(' ').all(|word| text.contains(word)), "{}: {text}", way.action);
    }
}
