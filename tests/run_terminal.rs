//! `tankside work` as it meets somebody who types by hand: commas, slips, missing parts, and what is shown of them.

use std::process::Command;

fn run(words: &[&str]) -> (Option<i32>, String) {
    let output =
        Command::new(env!("CARGO_BIN_EXE_tankside")).arg("work").args(words).output().expect("the program runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("what is printed is UTF-8");
    (output.status.code(), text(output.stdout) + &text(output.stderr))
}

/// What an accepted call prints.
#[track_caller]
fn printed(words: &[&str]) -> String {
    let (code, text) = run(words);
    assert_eq!(code, Some(0), "{words:?}: {text}");
    text
}

/// What a refused call says.
#[track_caller]
fn refused(words: &[&str]) -> String {
    let (code, text) = run(words);
    assert_eq!(code, Some(2), "{words:?}: {text}");
    text
}

/// The lines under a heading.
fn under<'t>(text: &'t str, heading: &str) -> Vec<&'t str> {
    text.lines()
        .skip_while(|line| *line != heading)
        .skip(1)
        .take_while(|line| !line.is_empty())
        .map(str::trim)
        .collect()
}

#[test]
fn a_row_may_be_typed_without_spaces_after_its_commas() {
    let spaced = printed(&["catch-test", "catch=186 fl oz, 60 s"]);
    assert_eq!(printed(&["catch-test", "catch=186fl oz,60s"]), spaced);
    let given = under(&printed(&["known-area", "plot=area 1,000 ft2,volume 2 gal"]), "Given").join("; ");
    assert_eq!(given, "area of the plot: 1000 ft²; volume caught or refilled: 2 gal");
}

#[test]
fn a_liquid_rate_of_a_strength_in_percent_asks_for_the_density() {
    let words = ["active-ingredient", "strength=40 %", "label-rate=1.5 fl oz/1000 ft2"];
    let said = refused(&words);
    assert!(said.starts_with("density: ") && said.contains("It is on the label or the data sheet"), "{said}");
    // By hand: 1.5 fl oz of 10 lb/gal weigh 0.1171875 lb, 40 % of that per 1000 ft² is 2.041875 lb/acre.
    let worked = printed(&[&words[..], &["density=10 lb/gal"]].concat());
    assert!(worked.contains(": 2.04 lb/acre   [ai-rate]"), "{worked}");
    // A rate of a dry product is weight already.
    assert!(printed(&["active-ingredient", "strength=40 %", "label-rate=3 oz weight/1000 ft2"]).contains("[ai-rate]"));
}

#[test]
fn what_was_given_is_kept_to_the_letter_and_what_is_missing_is_a_place() {
    let whole = |words: &[&str]| {
        let said = refused(words);
        said.lines().last().unwrap_or_default().trim().to_owned()
    };
    for (words, command) in [
        (
            &["catch-test", "catch=100 fl oz"][..],
            "tankside work catch-test catch.1.volume='100 fl oz' catch.1.time='… s'",
        ),
        (&["catch-test", "catch=100, 45"], "tankside work catch-test catch.1.volume='100 …' catch.1.time='45 …'"),
        (
            &["catch-test", "ctch=100 fl oz,45 s", "catch=98 fl oz,45 s"],
            "tankside work catch-test catch.2.volume='100 fl oz' catch.2.time='45 s' catch.1.volume='98 fl oz' catch.1.time='45 s'",
        ),
        (
            &["tank-mix", "tanks=100", "application-rate=2,1 gal/1000 ft2", "--in", "water-to-add=L"],
            "tankside work tank-mix tank='100 …' application-rate='2.1 gal/1000 ft2' --in water-to-add='L'",
        ),
        // An area is never taken for the lawn's name, which may be left out.
        (
            &["day-plan", "lawn=5000 ft2", "application-rate=2 gal/1000 ft2", "tank=lots"],
            "tankside work day-plan lawn.1.area='5000 ft2' application-rate='2 gal/1000 ft2' tank='… gal'",
        ),
        (
            &["swath-timing", "pass=20", "--units", "metric"],
            "tankside work swath-timing pass.1.length='20 …' pass.1.spacing='… m' pass.1.time='… s' --units metric",
        ),
    ] {
        assert_eq!(whole(words), command, "{words:?}");
    }
    // Liquid or dry only the label can say, so nothing is chosen.
    let words = ["tank-mix", "tank=100 gal", "application-rate=2 gal/1000 ft2", "product=rate 1.5 oz/1000 ft2"];
    let either = "Write product.1.rate='1.5 fl oz/1000 ft2' or product.1.rate='1.5 oz weight/1000 ft2'";
    assert!(refused(&words).contains(either));
    assert!(whole(&words).ends_with("product.1.rate='1.5 …/1000 ft2'"), "{}", whole(&words));
    assert!(printed(&[&words[..3], &["product=rate 1.5 oz weight/1000 ft2"]].concat()).contains("oz (weight)"));
}

#[test]
fn ranges_are_listed_in_the_unit_that_is_named_with_them() {
    // By hand: 1/8 gal is 16 fl oz, 5 gal are 640 and 50 gal 6400; 1/8 gal is 0.473 L,
    // 5 gal are 18.9 L and 50 gal 189 L, for which a person would set 0.4, 20 and 200 L.
    let line = |words: &[&str]| {
        let listed = printed(words);
        listed.lines().find(|line| line.contains("catch.N.volume")).unwrap_or_default().trim().to_owned()
    };
    let us = "volume caught; in fl oz; above 0 to 6400 fl oz; usually 16 to 640 fl oz";
    assert!(line(&["catch-test"]).contains(us), "{}", line(&["catch-test"]));
    let metric = line(&["catch-test", "--units", "metric"]);
    assert!(metric.contains("in L; above 0 to 200 L; usually 0.4 to 20 L"), "{metric}");
}

#[test]
fn a_default_is_listed_only_where_something_rests_on_it() {
    let given = |words: &[&str]| under(&printed(words), "Given").join("; ");
    let catch = &["catch-test", "catch=186 fl oz,60 s"][..];
    assert_eq!(given(catch), "volume caught: 186 fl oz; catch time: 60 s");
    let tolerance = [catch, &["tolerance=10 %"]].concat();
    assert!(given(&tolerance).ends_with("; nozzle tolerance around the mean: 10 %"));
    let nozzles = ["catch-test", "nozzle=40 fl oz", "nozzle=52 fl oz", "nozzle-time=60 s"];
    assert!(given(&nozzles).ends_with("; nozzle tolerance around the mean: 10 %"));
    assert_eq!(
        given(&["lawn-area", "rectangle=100 ft,50 ft"]),
        "length of the rectangle: 100 ft; width of the rectangle: 50 ft"
    );
}

#[test]
fn nobody_is_sent_back_for_one_time_as_long() {
    let advice =
        |words: &[&str]| under(&printed(words), "How sure is this?").last().copied().unwrap_or_default().to_owned();
    // 5.2 % where 5 % is wanted: some 4 % longer would do, for which no crew would repeat a catch.
    let nearly = advice(&["catch-test", "catch=20.8 fl oz,5.2 s"]);
    assert_eq!(nearly, "That is ±5 % for all practical purposes; the runs are long enough.");
    let short = advice(&["catch-test", "catch=12 fl oz,3 s"]);
    assert!(short.starts_with("To get within ±5 %, make every run about 1.8 times as long"), "{short}");
}

#[test]
fn a_course_of_known_size_is_done_again_and_not_made_larger() {
    for plot in ["area 340.3 ft2,volume 10 fl oz", "width 18.5 ft,length 18.5 ft,volume 10 fl oz"] {
        let worked = printed(&["known-area", &format!("plot={plot}")]);
        let advice = under(&worked, "How sure is this?").last().copied().unwrap_or_default();
        assert_eq!(advice, "To get within ±5 %, take 2 such checks together instead of 1.");
        assert!(!worked.contains("as large"), "{worked}");
    }
}

/// The number that a result is shown as.
fn shown(text: &str, name: &str) -> f64 {
    let line =
        text.lines().find(|line| line.ends_with(&format!("[{name}]"))).unwrap_or_else(|| panic!("{name}: {text}"));
    let value = line.rsplit_once(": ").map_or(line, |(_, value)| value).trim();
    let number: String = value.chars().take_while(|letter| !letter.is_whitespace()).filter(|c| *c != ',').collect();
    number.parse().unwrap_or_else(|_| panic!("{name}: {value}"))
}

#[test]
fn the_parts_of_a_day_add_up_to_its_total_as_they_are_shown() {
    let plan = |words: &[&str]| printed(&[&["day-plan"], words].concat());
    // By hand: 97,750 ft² at 2 gal/1000 ft² are 195.5 gal, 128 and 67.5; at 1.5 fl oz/1000 ft² 96 and 50.625 fl oz.
    let day = ["lawn=A,62000 ft2", "lawn=B,35750 ft2", "application-rate=2 gal/1000 ft2", "tank=128 gal"];
    let worked = plan(&[&day[..], &["product=name W,rate 1.5 fl oz/1000 ft2"]].concat());
    assert!(
        worked.contains("Mix for the day: 195.5 gal ") && worked.contains("Fill 2: mix to make: 67.5 gal "),
        "{worked}"
    );
    for (parts, total) in [
        (["fill-1-mix", "fill-2-mix"], "total-mix"),
        (["lawn-1-mix", "lawn-2-mix"], "total-mix"),
        (["fill-1-area", "fill-2-area"], "total-area"),
        (["fill-1-product-1", "fill-2-product-1"], "total-product-1"),
    ] {
        let sum: f64 = parts.iter().map(|part| shown(&worked, part)).sum();
        assert!((sum - shown(&worked, total)).abs() < 1e-9, "{parts:?}: {sum}, {total}: {}", shown(&worked, total));
    }
    // Numbers without an end differ by what their last shown places leave out, half of one for each of them.
    let odd = plan(&["lawn=A,61237 ft2", "lawn=B,35771 ft2", "application-rate=1.9 gal/1000 ft2", "tank=101 gal"]);
    let sum = shown(&odd, "fill-1-mix") + shown(&odd, "fill-2-mix");
    assert!((sum - shown(&odd, "total-mix")).abs() < 0.015 + 1e-9, "{odd}");
    // A unit that is requested is shown by itself.
    assert!(plan(&[&day[..], &["--in", "total-mix=L"]].concat()).contains("Mix for the day: 740 L "));
}

#[test]
fn a_product_at_hand_says_what_mix_it_makes_and_by_weight_must_be_weighed() {
    let mix = |words: &[&str]| {
        let said = printed(&[&["dilution"], words].concat());
        said.lines().find(|line| line.contains("[mix-made]")).map(str::to_owned).unwrap_or_default()
    };
    assert!(mix(&["product=1 qt", "water-parts=15"]).contains(": 4 gal"));
    assert!(mix(&["product=1 lb", "by=weight", "wanted=0.5 %"]).contains(": 200 lb"));
    assert!(mix(&["product=1 gal", "by=weight", "wanted=1 %", "concentrate=4 lb/gal"]).contains(": 400 lb"));
    let said = refused(&["dilution", "product=1 gal", "by=weight", "wanted=0.5 %"]);
    assert!(said.contains("needs a product that is weighed"), "{said}");
}
