use super::*;
use crate::text::figures::exact;

fn each(mut look: impl FnMut(Reading)) {
    for thing in Thing::ALL {
        for system in [System::Us, System::Metric] {
            (0..200).for_each(|seed| look(Reading::drawn(*thing, system, seed)));
        }
    }
}

fn said(reading: &Reading, value: f64) -> String {
    format!("{} {}", exact(value), reading.scale.unit.plain())
}

#[test]
fn the_nearest_mark_is_right_and_another_is_told_how_many_marks_off_it_is() {
    each(|reading| {
        assert!(matches!(reading.judge(&said(&reading, reading.nearest())), Read::Right(_)), "{reading:?}");
        assert!(matches!(reading.judge(&said(&reading, reading.level())), Read::Right(_)), "{reading:?}");
        assert!(matches!(reading.judge(&exact(reading.level())), Read::Ask(Query::Unit(..))), "{reading:?}");
        if reading.thing == Thing::Label {
            return;
        }
        assert!(reading.above() > 0, "there is something to count");
        for off in [1, -1] {
            let read = reading.scale.at(f64::from(reading.mark) + f64::from(off));
            assert_eq!(reading.judge(&said(&reading, read)), Read::Missed(Missed::Marks(off)), "{reading:?} {read}");
        }
        let far = reading.scale.at(f64::from(reading.mark + 3 * reading.scale.each));
        assert_eq!(reading.judge(&said(&reading, far)), Read::Missed(Missed::Far));
    });
}

#[test]
fn small_marks_taken_for_one_unit_each_are_named() {
    let jug = Reading { mark: 15, beside: 0.0, ..Reading::drawn(Thing::Jug, System::Us, 1) };
    assert_eq!((jug.number_below(), jug.above(), jug.level()), (24.0, 3, 30.0));
    assert_eq!(jug.judge("27 fl oz"), Read::Missed(Missed::Worth(1.0)));
    assert_eq!(jug.judge("32 fl oz"), Read::Missed(Missed::Marks(1)));
    assert!(matches!(jug.judge("30.9 oz"), Read::Right(_) | Read::Ask(Query::Ounces)));
}

#[test]
fn the_rate_of_another_row_of_a_label_is_named() {
    for seed in 0..50 {
        let label = Reading::drawn(Thing::Label, System::Us, seed);
        for (row, rate) in label.rates.iter().enumerate() {
            let read = label.judge(&said(&label, *rate));
            if row == label.mark as usize {
                assert!(matches!(read, Read::Right(_)));
            } else {
                assert_eq!(read, Read::Missed(Missed::Row(row)));
            }
        }
    }
}

#[test]
fn every_reading_is_worked_on_with_what_was_read() {
    each(|reading| {
        let Read::Right(typed) = reading.judge(&said(&reading, reading.nearest())) else { panic!("{reading:?}") };
        let question = next(&reading, &typed, "");
        let posed = question.draw(0).unwrap_or_else(|fault| panic!("{reading:?}: {fault:?}"));
        assert!(posed.si.is_finite() && posed.si > 0.0, "{reading:?}");
        for caution in &posed.worked.cautions {
            assert_ne!(caution.id, "caution.implausible", "{reading:?}");
        }
    });
}

#[test]
fn a_seed_draws_the_same_thing_and_others_draw_others() {
    for thing in Thing::ALL {
        let levels: Vec<String> = (0..60).map(|seed| exact(Reading::drawn(*thing, System::Us, seed).level())).collect();
        assert_eq!(levels[3], exact(Reading::drawn(*thing, System::Us, 3).level()));
        let mut known = levels.clone();
        known.sort();
        known.dedup();
        assert!(known.len() >= 8, "{thing:?}: {}", known.len());
    }
}
