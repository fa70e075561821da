//! Which of the dates in a photo file counts, with its fraction and its offset from UTC.
//!
//! The order: EXIF `DateTimeOriginal`, EXIF `DateTimeDigitized`, XMP, EXIF `DateTime`.
//! Every step down from the first is said under `problems`. How a date is written is
//! known to `stamp`; what instant it is, is decided in [`super::when`].

use exif::Tag;

use super::exif_block::Block;
use super::facts::{DateSource, OffsetSource, PhotoFacts};
use super::stamp::{BadStamp, Stamp, offset, stamp, subsec_ms};

/// Chooses among the dates of the file.
pub(super) fn choose(
    facts: &mut PhotoFacts,
    block: Option<&Block>,
    xmp: Option<(Stamp, &'static str)>,
) {
    let exif = [
        (
            DateSource::ExifOriginal,
            "DateTimeOriginal",
            Tag::DateTimeOriginal,
            Tag::SubSecTimeOriginal,
            Tag::OffsetTimeOriginal,
        ),
        (
            DateSource::ExifDigitized,
            "DateTimeDigitized",
            Tag::DateTimeDigitized,
            Tag::SubSecTimeDigitized,
            Tag::OffsetTimeDigitized,
        ),
        (
            DateSource::ExifModified,
            "DateTime",
            Tag::DateTime,
            Tag::SubSecTime,
            Tag::OffsetTime,
        ),
    ];
    let text = |tag| block.and_then(|b| b.text(tag));
    for (source, name, tag, subsec_tag, offset_tag) in exif {
        // A date of making in XMP is better than one of changing in EXIF.
        if source == DateSource::ExifModified && from_xmp(facts, xmp) {
            return;
        }
        let Some(written) = text(tag) else { continue };
        match stamp(&written) {
            Ok(s) => {
                facts.taken_local = Some(s.local);
                facts.date_source = Some(source);
                if s.odd {
                    facts.say("date_odd", format!("The date is written as \"{written}\", not the way EXIF asks; it was read all the same. Check it."));
                }
                match source {
                    DateSource::ExifDigitized => facts.say("date_digitized", "The date is DateTimeDigitized, as there is no usable DateTimeOriginal. For a camera both are the same; for a scan it is the day of scanning."),
                    DateSource::ExifModified => facts.say("date_modified", "The date is that of the last change of the file, as it has no date of taking. An edited copy may be later than the photo; check it."),
                    _ => {}
                }
                subsec(facts, text(subsec_tag));
                offset_of(facts, text(offset_tag), s);
                if facts.offset_min.is_none() {
                    other_offsets(facts, block, source, xmp.map(|(s, _)| s));
                }
                return;
            }
            Err(bad) => bad_date(facts, name, &written, bad),
        }
    }
    if block.is_none() || facts.problems.iter().all(|p| !p.code.starts_with("date_")) {
        facts.say("no_date", "The file says nothing about when it was taken; screenshots and photos sent through messengers lose it. The time of arrival is used instead; correct it if it matters.");
    }
}

/// Takes the date of XMP, if there is one.
fn from_xmp(facts: &mut PhotoFacts, xmp: Option<(Stamp, &'static str)>) -> bool {
    let Some((s, name)) = xmp else { return false };
    facts.taken_local = Some(s.local);
    facts.subsec_ms = s.subsec_ms;
    facts.offset_min = s.offset_min;
    facts.offset_source = s.offset_min.map(|_| OffsetSource::Xmp);
    facts.date_source = Some(DateSource::Xmp);
    facts.say("date_xmp", format!("EXIF has no usable date of taking; the date comes from XMP ({name}), which editing programs write. Check it."));
    true
}

fn bad_date(facts: &mut PhotoFacts, name: &str, written: &str, bad: BadStamp) {
    match bad {
        // A clock that was never set leaves all three dates blank; once is enough.
        BadStamp::Blank if facts.problems.iter().any(|p| p.code == "date_blank") => {}
        BadStamp::Blank => facts.say("date_blank", format!("{name} is blank or all zeros: the camera's clock was never set. Set it before the next photo; correct this one's time if it matters.")),
        BadStamp::DayOnly => facts.say("date_day_only", format!("{name} is \"{written}\", a day without a time, which is too coarse for the log. Set the time by hand if it matters.")),
        BadStamp::NotADate => {
            let shown: String = written.chars().take(40).collect();
            facts.say("date_bad", format!("{name} is \"{shown}\", which is no date. It was not used; set the time by hand if it matters."));
        }
    }
}

fn subsec(facts: &mut PhotoFacts, written: Option<String>) {
    match written.as_deref().map(subsec_ms) {
        Some(Ok(ms)) => facts.subsec_ms = ms,
        Some(Err(())) => facts.say(
            "subsec_bad",
            "The fraction of the second is not a number; it was left out. Nothing needs doing.",
        ),
        None => {}
    }
}

fn offset_of(facts: &mut PhotoFacts, written: Option<String>, s: Stamp) {
    match written.as_deref().map(offset) {
        Some(Ok(minutes)) => facts.offset_min = minutes,
        Some(Err(())) => facts.say("offset_bad", "The offset from UTC is none that any place has; it was not used. The time is read in the site's time zone; check it."),
        None => facts.offset_min = s.offset_min,
    }
    facts.offset_source = facts.offset_min.map(|_| OffsetSource::Exif);
}

/// Offsets that do not stand beside the date but can be worked out.
fn other_offsets(
    facts: &mut PhotoFacts,
    block: Option<&Block>,
    source: DateSource,
    xmp: Option<Stamp>,
) {
    let Some(local) = facts.taken_local else {
        return;
    };
    let text = |tag| block.and_then(|b| b.text(tag));
    // OffsetTime belongs to the date of change; it tells only if nothing was changed.
    let changed = text(Tag::DateTime).and_then(|t| stamp(&t).ok());
    if let Some(Ok(Some(minutes))) = text(Tag::OffsetTime).map(|t| offset(&t))
        && source != DateSource::ExifModified
    {
        if changed.is_some_and(|c| c.local == local) {
            (facts.offset_min, facts.offset_source) = (Some(minutes), Some(OffsetSource::Exif));
            return;
        }
        facts.say("offset_other_tag", "The offset from UTC stands only at the date of the last change, which may have been elsewhere; it was not used. The time is read in the site's time zone.");
    }
    if let Some((s, minutes)) = xmp.and_then(|s| s.offset_min.map(|m| (s, m)))
        && s.local == local
    {
        (facts.offset_min, facts.offset_source) = (Some(minutes), Some(OffsetSource::Xmp));
        facts.say("offset_xmp", "EXIF gives no offset from UTC; it was taken from XMP, whose date is the same. Nothing needs doing.");
        return;
    }
    if let Some(utc) = block.and_then(Block::satellite_time) {
        let seconds = (local - utc).num_seconds();
        // Offsets are whole quarters of an hour; a fix may be some minutes old.
        let quarters = (seconds + 450).div_euclid(900);
        let minutes = quarters * 15;
        if (seconds - quarters * 900).abs() <= 180 && (-720..=840).contains(&minutes) {
            (facts.offset_min, facts.offset_source) =
                (i32::try_from(minutes).ok(), Some(OffsetSource::Satellites));
            facts.say("offset_satellites", "EXIF gives no offset from UTC; it was worked out from the satellites' time in the file. Nothing needs doing.");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn xmp(text: &str) -> Option<(Stamp, &'static str)> {
        Some((stamp(text).unwrap(), "xmp:CreateDate"))
    }

    #[test]
    fn without_exif_the_date_of_xmp_counts_and_is_said() {
        let mut facts = PhotoFacts::default();
        choose(&mut facts, None, xmp("2024-05-03T07:12:00.25-03:30"));
        assert_eq!(
            facts.taken_local.unwrap().to_string(),
            "2024-05-03 07:12:00"
        );
        assert_eq!((facts.offset_min, facts.subsec_ms), (Some(-210), Some(250)));
        assert_eq!(facts.offset_source, Some(OffsetSource::Xmp));
        assert_eq!(facts.problems[0].code, "date_xmp");
    }

    #[test]
    fn without_any_date_that_is_said_once() {
        let mut facts = PhotoFacts::default();
        choose(&mut facts, None, None);
        assert_eq!(facts.taken_local, None);
        let codes: Vec<_> = facts.problems.iter().map(|p| p.code).collect();
        assert_eq!(codes, ["no_date"]);
    }

    #[test]
    fn blank_dates_are_said_once() {
        let mut facts = PhotoFacts::default();
        bad_date(&mut facts, "DateTimeOriginal", "", BadStamp::Blank);
        bad_date(&mut facts, "DateTime", "", BadStamp::Blank);
        assert_eq!(facts.problems.len(), 1);
    }
}
