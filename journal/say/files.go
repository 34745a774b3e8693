// The word files: one a language, beside the pages' templates.

package say

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"github.com/BurntSushi/toml"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"

	"rakelight/site"
)

// File is a word file as it was read.
type File struct {
	Tag      language.Tag
	Capitals bool // titles keep their capital inside a sentence, as the nouns of German do
	Words    map[Key]forms
}

// formNames are the plural forms as word files call them, which is how CLDR does.
var formNames = map[string]plural.Form{"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few,
	"many": plural.Many, "other": plural.Other}

// Read reads a word file: the language, whether titles keep their capitals, and below
// [words] for each key its text, or a table with a text for each plural form, where "by"
// names the argument that decides if it is not the first number.
func Read(data []byte) (*File, error) {
	var raw struct {
		Language string
		Capitals bool
		Words    map[string]any
	}
	if err := toml.Unmarshal(data, &raw); err != nil {
		return nil, err
	}
	tag, err := language.Parse(raw.Language)
	if err != nil {
		return nil, fmt.Errorf("language = %q: %w", raw.Language, err)
	}
	f := &File{Tag: tag, Capitals: raw.Capitals, Words: make(map[Key]forms, len(raw.Words))}
	for key, value := range raw.Words {
		one, err := readForms(value)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", key, err)
		}
		f.Words[Key(key)] = one
	}
	return f, nil
}

func readForms(value any) (forms, error) {
	one := forms{text: map[plural.Form]string{}}
	switch v := value.(type) {
	case string:
		one.text[plural.Other] = v
		return one, nil
	case map[string]any:
		for name, value := range v {
			form, is := formNames[name]
			switch value := value.(type) {
			case string:
				if !is {
					return one, fmt.Errorf("%s is no plural form", name)
				}
				one.text[form] = value
			case int64:
				if name != "by" {
					return one, fmt.Errorf("%s takes a text", name)
				}
				one.by = int(value)
			default:
				return one, fmt.Errorf("%s takes a text", name)
			}
		}
		if one.text[plural.Other] == "" {
			return one, fmt.Errorf("the form other is missing")
		}
		return one, nil
	}
	return one, fmt.Errorf("takes a text, or a table of plural forms")
}

// speakers are all there are, by their tags. Each reads its words when it is first asked
// for: most commands speak English alone, and start twice as fast without the others.
var speakers = sync.OnceValue(func() map[string]func() *Speaker {
	names, err := fs.Glob(site.Files, "words/*.toml")
	if err != nil {
		panic(err)
	}
	out := map[string]func() *Speaker{}
	for _, name := range names {
		tag := strings.TrimSuffix(path.Base(name), ".toml")
		out[tag] = sync.OnceValue(func() *Speaker { return speakerOf(name) })
	}
	return out
})

// speakerOf reads a file of words. They are part of the program: one that cannot be read
// is a fault in it, which the tests find.
func speakerOf(name string) *Speaker {
	data, err := fs.ReadFile(site.Files, name)
	if err != nil {
		panic(err)
	}
	f, err := Read(data)
	if err != nil {
		panic(fmt.Errorf("%s: %w", name, err))
	}
	return f.Speaker()
}

// Speaker is who says things with the words of the file.
func (f *File) Speaker() *Speaker {
	half := message.NewPrinter(f.Tag).Sprint(number.Decimal(0.5)) // "0.5" or "0,5", by CLDR
	return &Speaker{tag: f.Tag, file: f, point: strings.Trim(half, "05"), number: map[Key]int{}}
}

// English is who says the keys as they are.
func English() *Speaker { return speakers()["en"]() }

// Languages are the tags of all languages there are words for, in order.
func Languages() []string {
	var all []string
	for tag := range speakers() {
		all = append(all, tag)
	}
	slices.Sort(all)
	return all
}

// In is a new speaker of a language, which is asked for as HTML names it: "de", "de-AT".
// ok is false where there are no words for it. "" is English. What the speaker has no
// words for, turn turns, which may be nil.
func In(tag string, turn func(string) string) (s *Speaker, ok bool) {
	if tag == "" {
		return English(), true
	}
	asked, err := language.Parse(tag)
	if err != nil {
		return nil, false
	}
	base, _ := asked.Base()
	read := speakers()[base.String()]
	if read == nil {
		return nil, false
	}
	known := read()
	if known == English() {
		return known, true
	}
	s = known.file.Speaker()
	s.turn = turn
	return s, true
}

// Texts are the words of a key by their plural form; ok is false where there are none.
func (f *File) Texts(key Key) (texts map[plural.Form]string, ok bool) {
	one, ok := f.Words[key]
	return one.text, ok
}
