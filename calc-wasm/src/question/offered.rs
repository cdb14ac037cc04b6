//! Which draws of a template are fit to be asked: judged when a course is published, carried by its pages in a few
//! letters, and never tried again while a learner waits.

use super::template::{Posed, TemplateFault};
use super::{Question, parts};
use crate::mistakes::{self, Clash, Mistake};
use std::collections::BTreeSet;

/// Draws of a template that are judged when a course is published. Enough for years of practice on one template; the
/// draws beyond are never asked.
pub const JUDGED: u32 = 300;
/// As many draws as a template needs; with these, lesser ones are left out.
const ENOUGH: usize = 30;
/// The letters that carry six draws each: they need no escaping in JSON, in markup or in an address.
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

/// The draws of a template that are offered.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Offered {
    /// Draws judged, from 0.
    judged: u32,
    /// Six draws in each: those that are not offered have their bit set. What is missing at the end is offered.
    skipped: Vec<u8>,
}

impl Offered {
    /// Of the first `judged` draws, those that `fit`.
    pub fn of(judged: u32, fit: impl Fn(u32) -> bool) -> Offered {
        let mut offered = Offered { judged, skipped: Vec::new() };
        for draw in (0..judged).filter(|draw| !fit(*draw)) {
            let place = draw as usize / 6;
            offered.skipped.resize(offered.skipped.len().max(place + 1), 0);
            offered.skipped[place] |= 1 << (draw % 6);
        }
        offered
    }

    /// As a page carries it: how many draws were judged, and which to skip.
    pub fn parts(&self) -> (u32, String) {
        (self.judged, self.skipped.iter().map(|six| char::from(LETTERS[usize::from(six & 63)])).collect())
    }

    /// Reads what [`Offered::parts`] wrote. What cannot be read offers nothing.
    pub fn read(judged: u32, skip: &str) -> Offered {
        let six = |letter: u8| LETTERS.iter().position(|known| *known == letter).map(|place| place as u8);
        match skip.bytes().map(six).collect::<Option<Vec<u8>>>() {
            // Nobody judges more than this, and a hostile page must not make the core count to four billion.
            Some(skipped) if judged <= 100 * JUDGED => Offered { judged, skipped },
            _ => Offered::default(),
        }
    }

    /// Whether a draw is offered.
    pub fn offers(&self, draw: u32) -> bool {
        let six = self.skipped.get(draw as usize / 6).copied().unwrap_or(0);
        draw < self.judged && six & (1 << (draw % 6)) == 0
    }

    /// The draws offered, in order.
    pub fn draws(&self) -> impl Iterator<Item = u32> {
        (0..self.judged).filter(|draw| self.offers(*draw))
    }

    /// How many draws are offered.
    pub fn count(&self) -> u32 {
        self.draws().count() as u32
    }

    /// The draw at a place of those offered; places beyond the last begin again. `None` where none is offered.
    pub fn nth(&self, place: u32) -> Option<u32> {
        let count = self.count();
        if count == 0 { None } else { self.draws().nth((place % count) as usize) }
    }
}

impl Question {
    /// The draw that a seed leads to: of a number question one that is offered, else the seed itself.
    pub fn draw_at(&self, seed: u32) -> u32 {
        self.offered.nth(seed).unwrap_or(seed)
    }

    /// Judges the draws of a number question, at most `most` of them.
    ///
    /// # Errors
    /// What is wrong with the template, or why no draw of it can be asked.
    pub fn judged(&self, most: u32) -> Result<Offered, TemplateFault> {
        self.judged_against(most, &[])
    }

    /// The same with mistakes beyond those that are known.
    ///
    /// # Errors
    /// As [`Question::judged`].
    pub fn judged_against(&self, most: u32, more: &[&'static Mistake]) -> Result<Offered, TemplateFault> {
        if !self.parts.is_empty() {
            return self.judged_parts(most, more);
        }
        let template = self.template()?;
        let count = template.candidates().min(u64::from(most.max(1))) as u32;
        let mut fits = Vec::with_capacity(count as usize);
        let (mut made, mut unseen) = (BTreeSet::new(), Vec::with_capacity(count as usize));
        let mut clashes: Vec<(Clash, usize)> = Vec::new();
        let mut fault = TemplateFault::NoUsableNumbers;
        for draw in 0..count {
            let fit = match template.draw(draw) {
                // Numbers that the author fixed are the author's business.
                Ok(_) if template.candidates() == 1 => Fit::Well,
                Ok(posed) => fit(&posed, more, &mut made, &mut unseen, draw),
                Err(TemplateFault::Inputs(problems)) => {
                    fault = TemplateFault::Inputs(problems);
                    Fit::Not
                }
                Err(other) => return Err(other),
            };
            if let Fit::Inseparable(clash) = fit {
                counted(&mut clashes, clash);
            }
            fits.push(fit);
        }
        // A mistake that shows at other numbers must not land on the right answer at these.
        for (draw, mistake) in unseen {
            let fit = &mut fits[draw as usize];
            if *fit == Fit::Well && made.contains(mistake) {
                *fit = Fit::Barely;
            }
        }
        // Draws in which even a slight mistake can be seen are preferred where there are enough of them.
        let well = fits.iter().filter(|fit| **fit == Fit::Well).count();
        let fit = |fit: &Fit| *fit == Fit::Well || *fit == Fit::Barely && well < ENOUGH;
        if !fits.iter().any(fit) {
            let most = clashes.into_iter().max_by_key(|(_, times)| *times);
            return Err(most.map_or(fault, |(clash, _)| TemplateFault::Inseparable(clash)));
        }
        let offered = Offered::of(count, |draw| fit(&fits[draw as usize]));
        Ok(offered)
    }

    /// The draws at which every part can be asked.
    fn judged_parts(&self, most: u32, more: &[&'static Mistake]) -> Result<Offered, TemplateFault> {
        let whole = Question { parts: Vec::new(), ..self.clone() }.judged_against(most, more)?;
        if let Some(fault) = whole.nth(0).and_then(|draw| parts::fault(self, draw)) {
            return Err(fault);
        }
        let mut all = vec![whole];
        for (index, part) in self.each()[..self.parts.len()].iter().enumerate() {
            let told = |fault| TemplateFault::Part(index, Box::new(fault));
            all.push(part.judged_against(most, more).map_err(told)?);
        }
        let judged = all[0].judged;
        let offered = Offered::of(judged, |draw| all.iter().all(|part| part.offers(draw)));
        if offered.count() == 0 { Err(TemplateFault::NoUsableNumbers) } else { Ok(offered) }
    }

    /// A place in the question's text that names nothing given; `None` too where the template itself is at fault.
    pub fn fault_in_text(&self) -> Option<TemplateFault> {
        // Which inputs are given does not change from draw to draw.
        let draw = self.offered.nth(0)?;
        let unknown = |question: &Question| {
            let template = question.template().ok()?;
            template.unknown_place(&template.draw(draw).ok()?).map(TemplateFault::UnknownPlace)
        };
        let in_part = |(index, part): (usize, &Question)| Some(TemplateFault::Part(index, Box::new(unknown(part)?)));
        unknown(self).or_else(|| self.each()[..self.parts.len()].iter().enumerate().find_map(in_part))
    }
}

/// How fit a draw is to be asked.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fit {
    /// The right answer and every mistake are far enough apart.
    Well,
    /// A mistake that is slight by nature cannot be told from the right answer.
    Barely,
    /// Right answer and a mistake, or two mistakes, come too close.
    Inseparable(Clash),
    /// The calculator refuses it or finds it implausible, or the answer is nothing.
    Not,
}

fn fit(
    posed: &Posed,
    more: &[&'static Mistake],
    made: &mut BTreeSet<&'static str>,
    unseen: &mut Vec<(u32, &'static str)>,
    draw: u32,
) -> Fit {
    if !posed.worked.inputs.implausible.is_empty() || posed.si == 0.0 {
        return Fit::Not;
    }
    let near = mistakes::nearest(&posed.right_working(), &posed.unit, more);
    made.extend(&near.made);
    unseen.extend(near.unseen.iter().map(|mistake| (draw, *mistake)));
    match near.clash {
        Some(clash) => Fit::Inseparable(clash),
        None if near.slight => Fit::Barely,
        None => Fit::Well,
    }
}

fn counted(clashes: &mut Vec<(Clash, usize)>, clash: Clash) {
    match clashes.iter_mut().find(|(known, _)| *known == clash) {
        Some((_, times)) => *times += 1,
        None => clashes.push((clash, 1)),
    }
}
