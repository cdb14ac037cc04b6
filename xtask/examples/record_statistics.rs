//! Prints made-up sittings and what the roster says about them, one JSON object a line, for the checks from outside.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;
use tankside::marking::items::{Item, Same};

fn main() {
    let mut draws = Pcg32::new(20, 26);
    for (people, questions) in [(2, 2), (5, 3), (12, 10), (40, 20), (200, 16)] {
        let mut answers: Vec<Vec<bool>> = Vec::new();
        for person in 0..people {
            let ability = 30 + 65 * person / people;
            let row = (0..questions).map(|question| draws.next_u32() as usize % 100 < (ability + question * 2).min(97));
            answers.push(row.collect());
        }
        let mut items = vec![Item::default(); questions];
        let mut same = Same::default();
        for row in &answers {
            same.add(row);
            let right = row.iter().filter(|right| **right).count() as f64;
            for (item, right_here) in items.iter_mut().zip(row) {
                item.add(*right_here, (right - f64::from(u8::from(*right_here))) / (questions as f64 - 1.0));
            }
        }
        let number = |value: Option<f64>| value.map_or("null".to_owned(), |value| format!("{value:e}"));
        let list = |values: Vec<String>| format!("[{}]", values.join(","));
        let rows = answers.iter().map(|row| list(row.iter().map(|right| u8::from(*right).to_string()).collect()));
        println!(
            "{{\"answers\":{},\"difficulty\":{},\"discrimination\":{},\"reliability\":{}}}",
            list(rows.collect()),
            list(items.iter().map(|item| number(item.difficulty())).collect()),
            list(items.iter().map(|item| number(item.discrimination())).collect()),
            number(same.reliability())
        );
    }
}
