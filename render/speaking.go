// In which language the pages of an edition are. The builder's own are English; those
// for readers are in the language that is asked for.

package render

import (
	"fmt"
	"strings"

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

// CheckLanguage is an AskError where there are no words for a language.
func CheckLanguage(language string) error {
	if _, ok := speakerOf(language); ok {
		return nil
	}
	return &journal.AskError{What: fmt.Sprintf("there are no words for the language %q", language),
		Hint: "the pages for readers can be written in: " + strings.Join(say.Languages(), ", ")}
}
