//! The choices that are written by hand: the longest option is the right one as often as any other.

use crate::banks;
use tankside_calc::question::Ask;

#[test]
fn the_right_one_of_the_written_choices_is_the_longest_as_often_as_by_chance() {
    let (mut longest, mut by_chance) = (0.0, 0.0);
    for question in banks::questions().filter(|question| question.kind == Ask::One) {
        let lengths: Vec<usize> = question.options.iter().map(|option| option.text.chars().count()).collect();
        let most = lengths.iter().copied().max().unwrap_or(0);
        let sharing = lengths.iter().filter(|length| **length == most).count() as f64;
        let right = question.options.iter().zip(&lengths).find(|(option, _)| option.right).map(|(_, length)| *length);
        by_chance += 1.0 / lengths.len() as f64;
        longest += if right == Some(most) { 1.0 / sharing } else { 0.0 };
    }
    let times: f64 = longest / by_chance;
    println!("the right one of the written choices is the longest {times:.2} times as often as by chance");
    assert!(by_chance > 20.0 && (0.9..1.1).contains(&times), "{longest} of {by_chance}");
}

#[test]
fn no_written_choice_is_set_apart_by_how_it_begins() {
    let mut seen = 0;
    for option in banks::questions().flat_map(|question| &question.options) {
        seen += 1;
        assert!(!option.text.starts_with("Because "), "the others are plain statements: {}", option.text);
    }
    assert!(seen > 200, "{seen}");
}
