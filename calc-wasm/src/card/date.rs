//! Calendar days as a card writes them: read, counted on, compared. The core has no clock.

/// A day of the Gregorian calendar, years 1900 to 2199, written `2026-04-14` (ISO 8601).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: u32,
    month: u32,
    day: u32,
}

impl Day {
    /// Reads `2026-04-14`.
    ///
    /// # Errors
    /// `card.date-unread` where it is not written so, `card.no-such-day` where there is no such day or the year is not
    /// from 1900 to 2199; both are phrase keys.
    pub fn read(text: &str) -> Result<Day, &'static str> {
        let parts: Vec<&str> = text.trim().split('-').collect();
        let digits = |part: &str, most: usize| -> Option<u32> {
            let plain = (1..=most).contains(&part.len()) && part.bytes().all(|letter| letter.is_ascii_digit());
            if plain { part.parse().ok() } else { None }
        };
        let [year, month, day] = parts.as_slice() else { return Err("card.date-unread") };
        let (Some(year), Some(month), Some(day)) = (digits(year, 4), digits(month, 2), digits(day, 2)) else {
            return Err("card.date-unread");
        };
        let known = (1900..2200).contains(&year) && (1..=12).contains(&month);
        if known && 1 <= day && day <= days_in(year, month) {
            Ok(Day { year, month, day })
        } else {
            Err("card.no-such-day")
        }
    }

    /// The day `days` later, counted on the calendar.
    pub fn after(self, days: u32) -> Day {
        let Day { mut year, mut month, day } = self;
        let mut day = day.saturating_add(days);
        while day > days_in(year, month) {
            day -= days_in(year, month);
            month += 1;
            if month > 12 {
                (year, month) = (year + 1, 1);
            }
        }
        Day { year, month, day }
    }

    /// Year, month from 1 and day.
    pub fn parts(self) -> (u32, u32, u32) {
        (self.year, self.month, self.day)
    }
}

/// Days in a month; February has 29 in years divisible by 4, but of full centuries only in those divisible by 400.
fn days_in(year: u32, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn later(text: &str, days: u32) -> String {
        let (year, month, day) = Day::read(text).expect("a day").after(days).parts();
        format!("{year}-{month:02}-{day:02}")
    }

    #[test]
    fn days_are_counted_as_the_calendar_counts_them() {
        // Each line as `date -d "DAY + N days" +%F` of GNU coreutils answers.
        for (day, days, then) in [
            ("2026-04-14", 0, "2026-04-14"),
            ("2026-04-14", 90, "2026-07-13"),
            ("2024-02-28", 1, "2024-02-29"),
            ("2024-02-28", 2, "2024-03-01"),
            ("2023-02-28", 1, "2023-03-01"),
            ("2000-02-28", 1, "2000-02-29"),
            ("2100-02-28", 1, "2100-03-01"),
            ("2026-12-31", 1, "2027-01-01"),
            ("2027-12-15", 90, "2028-03-14"),
            ("2024-01-01", 366, "2025-01-01"),
            ("2025-01-01", 365, "2026-01-01"),
            ("2026-01-31", 730, "2028-01-31"),
        ] {
            assert_eq!(later(day, days), then, "{day} and {days} days");
        }
    }

    #[test]
    fn a_day_that_does_not_exist_is_refused_with_its_reason() {
        for text in ["2026-02-29", "2100-02-29", "2026-04-31", "2026-13-01", "2026-00-10", "2026-05-00", "1899-12-31"] {
            assert_eq!(Day::read(text), Err("card.no-such-day"), "{text}");
        }
        for text in ["", "today", "04/14/2026", "2026-04", "2026-04-14-1", "2026-4-1x", "20260-04-14", "−2026-04-14"]
        {
            assert_eq!(Day::read(text), Err("card.date-unread"), "{text}");
        }
        assert!(Day::read("2024-02-29").is_ok() && Day::read("2000-02-29").is_ok() && Day::read(" 2026-4-1 ").is_ok());
        assert!(Day::read("2026-04-14") < Day::read("2026-10-02"));
    }
}
