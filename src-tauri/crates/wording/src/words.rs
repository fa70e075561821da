//! The words of what the hub sends or writes itself: reminders, e-mails, calendars, records.
//!
//! They are the same Fluent files that the web app reads (`ui/src/words/LANGUAGE/*.ftl`;
//! files named `hub-…` are for the hub alone). Numbers and dates come ready made, because
//! units and time zones are the site's business and not that of a language. That every
//! language has every key, a test of the web app sees to (`ui/test/words.test.ts`).

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use rust_embed::RustEmbed;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::{Arc, LazyLock};
use unic_langid::LanguageIdentifier;

#[derive(RustEmbed)]
#[folder = "../../../ui/src/words"]
#[include = "*.ftl"]
struct Files;

/// The language that is always there.
const FIRST: &str = "en";

static ALL: LazyLock<BTreeMap<String, Words>> = LazyLock::new(|| {
    let mut sources: BTreeMap<String, String> = BTreeMap::new();
    for path in Files::iter() {
        if let (Some((language, _)), Some(file)) = (path.split_once('/'), Files::get(&path)) {
            let text = sources.entry(language.to_owned()).or_default();
            text.push_str(&String::from_utf8_lossy(&file.data));
            text.push('\n');
        }
    }
    let words = |(language, text): (String, String)| {
        let words = Words::read(&language, text);
        (language, words)
    };
    sources.into_iter().map(words).collect()
});

/// The words of one language.
#[derive(Clone)]
pub struct Words {
    language: String,
    bundle: Arc<FluentBundle<FluentResource>>,
}

impl std::fmt::Debug for Words {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Words").field(&self.language).finish()
    }
}

impl Words {
    /// The words of the first language of a list like `de-AT, en;q=0.8` (an
    /// `Accept-Language` header, or just `de`) that there are words for; English else.
    /// Preference goes by order; weights are not read.
    #[must_use]
    pub fn of(languages: &str) -> Self {
        let wanted = languages.split(',').map(|one| {
            let tag = one.split(';').next().unwrap_or_default().trim();
            tag.split('-')
                .next()
                .unwrap_or_default()
                .to_ascii_lowercase()
        });
        let found = wanted.filter_map(|tag| ALL.get(&tag)).next();
        let found = found.or_else(|| ALL.get(FIRST)).cloned();
        found.unwrap_or_else(|| Self::read(FIRST, String::new()))
    }

    /// Languages there are words for.
    pub fn languages() -> impl Iterator<Item = &'static str> {
        ALL.keys().map(String::as_str)
    }

    /// Which language this is, as a tag of two letters.
    #[must_use]
    pub fn language(&self) -> &str {
        &self.language
    }

    /// A message (`key`) or one of its attributes (`key.attribute`) with its values filled
    /// in. The key itself when there are no words for it.
    #[must_use]
    pub fn say(&self, key: &str, values: &[(&str, FluentValue<'_>)]) -> String {
        let (id, attribute) = match key.split_once('.') {
            Some((id, attribute)) => (id, Some(attribute)),
            None => (key, None),
        };
        let message = self.bundle.get_message(id);
        let pattern = message.and_then(|m| match attribute {
            Some(name) => m.get_attribute(name).map(|a| a.value()),
            None => m.value(),
        });
        let Some(pattern) = pattern else {
            return key.to_owned();
        };
        let mut args = FluentArgs::with_capacity(values.len());
        for (name, value) in values {
            args.set(Cow::Borrowed(*name), value.clone());
        }
        // A value that is missing shows as its own name, which the tests find.
        let mut errors = Vec::new();
        let said = self
            .bundle
            .format_pattern(pattern, Some(&args), &mut errors);
        said.into_owned()
    }

    fn read(language: &str, text: String) -> Self {
        let tag: LanguageIdentifier = language.parse().unwrap_or_default();
        let mut bundle = FluentBundle::new_concurrent(vec![tag]);
        bundle.set_use_isolating(false);
        // What cannot be read is left out; a test of the web app reads every file.
        let resource = FluentResource::try_new(text).unwrap_or_else(|(read, _)| read);
        bundle.add_resource_overriding(resource);
        Self {
            language: language.to_owned(),
            bundle: Arc::new(bundle),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_language_that_is_there_speaks() {
        assert_eq!(Words::of("xx-YY, en;q=0.5").language(), "en");
        assert_eq!(Words::of("").language(), "en");
        assert_eq!(Words::of("EN-gb").language(), "en");
        assert!(Words::languages().any(|l| l == "en"));
    }

    #[test]
    fn messages_attributes_values_and_plurals() {
        let words = Words::of("en");
        assert_eq!(words.say("m-form_off", &[]), "Form may come off");
        assert_eq!(words.say("m-form_off.ask", &[]), "take the form off");
        assert_eq!(words.say("step-n", &[("n", 4.into())]), "Step 4");
        assert_eq!(words.say("site-pours", &[("pours", 1.into())]), "1 pour");
        assert_eq!(words.say("site-pours", &[("pours", 2.into())]), "2 pours");
        assert_eq!(words.say("no-such-key", &[]), "no-such-key");
        assert_eq!(words.say("step-n", &[]), "Step {$n}");
    }
}
