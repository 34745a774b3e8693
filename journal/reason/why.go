// Package reason holds why things are as they are: why a photo has a tag, why
// its time is in doubt, how far its camera's clock was off, why a session is not
// counted. Each reason is a value with a code, in memory and in records; what
// decides asks the code. Package wording makes the words.
//
// Start with Why and Doubt. Records of earlier versions hold sentences instead;
// sentences.go alone reads those. A code that a later version writes is kept as
// it is.
package reason

import (
	"encoding/json"
	"maps"
	"slices"
	"time"
)

// By is what gave a tag to a photo.
type By string

// What may give a tag, or keep it empty.
const (
	Said          By = "said"          // a person
	Alike         By = "alike"         // a person called it alike to a photo that has it: Name
	BuildChanged  By = "build-changed" // it fell with the build it belonged to
	Card          By = "card"          // a bench card in the picture
	CardHeld      By = "card-held"     // a bench card that was seen before, at HH:MM: Name
	Folder        By = "folder"        // it lay in it: Name
	Keyword       By = "keyword"       // it carries it: Name
	InSession     By = "session"       // it was taken during it: Session
	NearSession   By = "near"          // a guess, so far away from it: Session, Away, Before
	OneOfSessions By = "one-of"        // a guess, the one of so many that began nearest: Session, Of
	NoSession     By = "no-session"    // nothing names it, no session lies within so much: Away
	TimeInDoubt   By = "time-in-doubt" // nothing names it, and its time cannot place it
	SidecarKept   By = "sidecar"       // of "sidecar": the XMP file that came along is kept beside it
	SidecarLost   By = "no-sidecar"    // of "sidecar": that file could not be kept, because: Name
	Words         By = "words"         // as somebody wrote them: Name

	same By = "same" // in records alone: as that of another tag, Name
)

// What there is to tell of a picture itself, under "picture" and "color".
const (
	Preview      By = "preview"       // what its camera put into the raw picture is shown
	NoPreview    By = "no-preview"    // its camera put none into the raw picture
	Still        By = "still"         // what was put into the clip is shown in its place
	NoStill      By = "no-still"      // no picture was put into the clip
	NoDecoder    By = "no-decoder"    // HEIC, in a build without its decoder
	Converted    By = "converted"     // its colors are of a space, and converted to sRGB: Name
	AdobeByEXIF  By = "adobe-exif"    // they are Adobe RGB, as its EXIF says
	HighRange    By = "high-range"    // they are of high dynamic range, and not converted
	NoProfile    By = "no-profile"    // nothing says what they are
	BadProfile   By = "bad-profile"   // its profile is damaged
	TableProfile By = "table-profile" // its profile is made of tables, and not converted
)

// Why is why a tag is what it is. The zero value is no reason.
type Why struct {
	By      By       `json:"by"`
	Name    string   `json:"name,omitempty"`    // of the folder or the keyword; the time of the card; else words
	Session *Session `json:"session,omitempty"` // the one that gave it
	Away    Length   `json:"away,omitzero"`     // how far away the session was, or might have been
	Before  bool     `json:"before,omitempty"`  // the photo was taken before the session, else after
	Of      int      `json:"of,omitempty"`      // so many sessions ran then
}

// Session is a session as it was when it gave a tag.
type Session struct {
	ID    string `json:"id,omitempty"` // "" where a sentence told it
	Build string `json:"build"`
	Stage string `json:"stage,omitempty"`
	Began string `json:"began"` // YYYY-MM-DD HH:MM in the journal's zone
}

// Whys are reasons by the names of their tags, as records hold them.
type Whys map[string]Why

// MarshalJSON writes a reason that several tags have once.
func (w Whys) MarshalJSON() ([]byte, error) {
	short := make(map[string]Why, len(w))
	var names []string
	for _, name := range slices.Sorted(maps.Keys(w)) {
		short[name] = w[name]
		i := slices.IndexFunc(names, func(one string) bool { return w[one] == w[name] })
		if i < 0 || w[name].Session == nil {
			names = append(names, name)
			continue
		}
		short[name] = Why{By: same, Name: names[i]}
	}
	return json.Marshal(short)
}

// Each gives every tag its own reason, in place of what MarshalJSON left out.
func (w Whys) Each() Whys {
	for name, why := range w {
		if why.By != same {
			continue
		}
		if of := w[why.Name]; of.By != same && of.Any() {
			w[name] = of
		} else {
			delete(w, name) // a ring, or a chain: nobody writes those
		}
	}
	return w
}

// Any reports whether there is a reason.
func (w Why) Any() bool { return w.By != "" }

// BySession reports whether the tag came from a session, for sure or as a guess.
func (w Why) BySession() bool {
	return w.By == InSession || w.By == NearSession || w.By == OneOfSessions
}

// Length is a length of time, which records hold as "1h57m0s".
type Length time.Duration

// MarshalText writes it as records hold it.
func (l Length) MarshalText() ([]byte, error) { return []byte(time.Duration(l).String()), nil }

// UnmarshalText reads it.
func (l *Length) UnmarshalText(text []byte) error {
	d, err := time.ParseDuration(string(text))
	*l = Length(d)
	return err
}
