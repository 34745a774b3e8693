// In which language the pages of an edition are. The builder's own are English; those
// for readers are in the language that is asked for.

package render

import (
	"fmt"
	"html/template"
	"strings"

	"golang.org/x/text/language"

	"rakelight/journal"
	"rakelight/journal/say"
)

// voice is who speaks on the pages: in which language, and with the words that all
// pages share.
type voice struct{ *say.Speaker }

// voice is the voice of the pages: English, or that of the language that is asked for
// and known.
func (o Options) voice() voice {
	if o.speaker != nil {
		return voice{o.speaker}
	}
	if o.Edition == ForReaders {
		if s, ok := speakerOf(o.Language); ok {
			return voice{s}
		}
	}
	return voice{say.English()}
}

// speakerOf is a speaker of a language for readers. What it has no words for, it says in
// English, in the builder's name as all pages for readers.
func speakerOf(language string) (*say.Speaker, bool) {
	return say.In(language, func(text string) string { return string(inFirstPerson([]byte(text))) })
}

// ownLanguage is the language that the person writes in, where it is known and another
// than that of the pages, else "".
func (v *view) ownLanguage() string {
	own, err := language.Parse(v.Config.WrittenIn)
	if v.Config.WrittenIn == "" || err != nil {
		return ""
	}
	base, _ := own.Base()
	if ofPage, _ := language.Make(v.Language()).Base(); base == ofPage {
		return ""
	}
	return own.String()
}

// langOf is what templates put into a tag, {{own}} around the person's words and
// {{ours}} around ours among those: the language of what the element holds (WCAG 2.2,
// 3.1.2). It is nothing where both are of one language, own being "".
func langOf(own, language string) template.HTMLAttr {
	if own == "" {
		return ""
	}
	return template.HTMLAttr(` lang="` + template.HTMLEscapeString(language) + `"`)
}

// CheckLanguage is an AskError where there are no words for a language.
func CheckLanguage(language string) error {
	if _, ok := speakerOf(language); ok {
		return nil
	}
	return &journal.AskError{What: fmt.Sprintf("there are no words for the language %q", language),
		Hint: "the pages for readers can be written in: " + strings.Join(say.Languages(), ", ")}
}
