//! Which days are school days.

use jiff::ToSpan;
use jiff::civil::{Date, Weekday};

use crate::deck::settings::{Holiday, Term};

/// The school's calendar: Monday to Friday, within a term, outside of holidays.
#[derive(Clone, Debug)]
pub struct SchoolDays {
    /// First and last days of terms, by first day. Without any, the whole year is term.
    terms: Vec<(Date, Date)>,
    holidays: Vec<(Date, Date)>,
}

impl SchoolDays {
    /// The calendar of these terms and holidays.
    pub fn new(terms: &[Term], holidays: &[Holiday]) -> Self {
        let mut terms: Vec<_> = terms.iter().map(|term| (term.starts, term.ends)).collect();
        let mut holidays: Vec<_> = holidays.iter().map(|holiday| (holiday.starts, holiday.ends)).collect();
        terms.sort();
        holidays.sort();
        Self { terms, holidays }
    }

    /// Whether there is school on that day.
    pub fn is_school_day(&self, day: Date) -> bool {
        self.from(day) == Some(day)
    }

    /// The first school day that is not before `day`; `None` when the last term is over.
    pub fn from(&self, day: Date) -> Option<Date> {
        let mut day = day;
        loop {
            let next = self.after_holiday(self.in_term(after_weekend(day)?)?)?;
            if next == day {
                return Some(day);
            }
            day = next;
        }
    }

    /// The first school day after `day`.
    pub fn after(&self, day: Date) -> Option<Date> {
        self.from(day.tomorrow().ok()?)
    }

    /// `day`, or the first day of the next term when it lies in none.
    fn in_term(&self, day: Date) -> Option<Date> {
        let within = |(starts, ends): &(Date, Date)| *starts <= day && day <= *ends;
        if self.terms.is_empty() || self.terms.iter().any(within) {
            return Some(day);
        }
        self.terms.iter().map(|(starts, _)| *starts).find(|starts| *starts > day)
    }

    /// `day`, or the day after the holiday in which it lies.
    fn after_holiday(&self, day: Date) -> Option<Date> {
        let within = self.holidays.iter().filter(|(starts, ends)| *starts <= day && day <= *ends);
        match within.map(|(_, ends)| *ends).max() {
            Some(last) => last.tomorrow().ok(),
            None => Some(day),
        }
    }
}

fn after_weekend(day: Date) -> Option<Date> {
    match day.weekday() {
        Weekday::Saturday => day.checked_add(2.days()).ok(),
        Weekday::Sunday => day.tomorrow().ok(),
        _ => Some(day),
    }
}
