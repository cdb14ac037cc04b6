//! Properties of a day plan: every lawn is treated once, every drop is made once, whatever the numbers.

use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::worked::Worked;
use tankside_calc::calculators::registry::calculator;
use tankside_calc::uncertainty::work;
use tankside_calc::working::record::System;

/// A day of `lawns` (ft²) at `rate` gal/1000 ft² from a `tank` with `left` gal in it.
fn day(lawns: &[u32], rate: f64, tank: u32, left: f64) -> Worked {
    let mut pairs: Vec<(String, String)> = vec![
        ("application-rate".to_owned(), format!("{rate} gal/1000 ft2")),
        ("tank".to_owned(), format!("{tank} gal")),
        ("left".to_owned(), format!("{left} gal")),
        ("product.1.rate".to_owned(), "1.5 fl oz/1000 ft2".to_owned()),
    ];
    pairs.extend(
        lawns.iter().enumerate().map(|(index, ft2)| (format!("lawn.{}.area", index + 1), format!("{ft2} ft2"))),
    );
    let plan = calculator("day-plan").expect("a calculator");
    work(plan, &RawInputs(pairs.clone()), System::Us).unwrap_or_else(|faults| panic!("{pairs:?}: {faults:?}"))
}

fn close(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-6 * one.abs().max(1.0)
}

fn check(lawns: &[u32], rate: f64, tank: u32, left: f64) {
    let about = format!("{lawns:?} at {rate}, {tank} gal with {left}");
    let worked = day(lawns, rate, tank, left);
    let of = |name: &str, unit: &str| worked.value_in(name, unit);
    let fills = of("fills", "").unwrap_or_else(|| panic!("{about}: no fills")) as usize;
    let total: f64 = lawns.iter().map(|ft2| f64::from(*ft2)).sum::<f64>() * rate / 1000.0;
    let made: f64 = (1..=fills).filter_map(|n| of(&format!("fill-{n}-mix"), "gal")).sum();
    if fills == 0 {
        assert!(left >= total * 0.999_999, "{about}: {total} gal are needed");
        return;
    }
    assert!(close(made + left, total), "{about}: made {made} of {total}");
    assert!(of(&format!("fill-{}-mix", fills + 1), "gal").is_none(), "{about}: more fills than counted");
    for n in 1..=fills {
        let mix = of(&format!("fill-{n}-mix"), "gal").unwrap_or_else(|| panic!("{about}: no fill {n}"));
        assert!(mix <= f64::from(tank) * 1.000_001, "{about}: fill {n} is {mix}");
    }
    for (index, ft2) in lawns.iter().enumerate() {
        let parts = (1..=fills).filter_map(|n| of(&format!("fill-{n}-lawn-{}-area", index + 1), "ft2"));
        let treated: f64 = parts.sum();
        assert!(close(treated, f64::from(*ft2)), "{about}: lawn {} gets {treated}", index + 1);
    }
    let product = of("total-product-1", "fl oz").expect("a product");
    assert!(close(product, made / rate * 1.5), "{about}: {product} fl oz");
}

#[test]
fn every_lawn_is_treated_once_and_every_drop_is_made_once() {
    // A fixed linear congruential sequence (constants of POSIX rand48); the cases are the same on every machine.
    let mut state: u64 = 20_240_817;
    let mut next = |low: u64, high: u64| {
        state = (state.wrapping_mul(0x5_DEEC_E66D) + 11) & ((1 << 48) - 1);
        low + (state >> 17) % (high - low + 1)
    };
    for _ in 0..200 {
        let lawns: Vec<u32> = (0..next(1, 9)).map(|_| next(500, 90_000) as u32).collect();
        let (rate, tank) = (next(3, 40) as f64 / 10.0, next(60, 300) as u32);
        let left = next(0, u64::from(tank) / 2) as f64;
        check(&lawns, rate, tank, left);
    }
}

#[test]
fn a_lawn_larger_than_a_tank_spans_fills_and_round_numbers_need_no_drop_more() {
    check(&[300_000], 2.0, 200, 0.0);
    check(&[100_000, 100_000], 2.0, 200, 0.0);
    check(&[100_000, 50_000], 2.0, 200, 200.0);
    check(&[33_333, 33_333, 33_334], 0.3, 10, 0.0);
    check(&[5000], 2.0, 200, 10.0);
    check(&[5000], 2.0, 200, 50.0);
    let worked = day(&[300_000], 2.0, 200, 0.0);
    assert_eq!(worked.value_in("fills", ""), Some(3.0));
    assert_eq!(worked.value_in("fill-3-lawn-1-area", "ft2"), Some(100_000.0));
}
