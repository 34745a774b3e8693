// Package wording makes words of reasons: why a photo has a tag, what speaks
// against its time, how long a session really was, why there is something to do.
//
// Start with Why and Doubts. Commands and pages both use it. Nothing reads these
// words to decide anything, so they may be changed, or said in another language,
// here and nowhere else; what the door says has its words in entry/wording.
package wording

import (
	"fmt"
	"path"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/say"
)

// unknown stands for the codes of later versions.
var unknown = "a reason this version does not know"

// known is what a table says of a code, and whether it has the code.
func known[K comparable, V any](table map[K]func(V) string, code K, value V) string {
	if say, ok := table[code]; ok {
		return say(value)
	}
	return unknown
}

// Why is why a tag is what it is; "" = no reason is known.
func Why(w reason.Why) string {
	if !w.Any() {
		return ""
	}
	return known(whys, w.By, w)
}

// always says the same of every value.
func always[V any](words string) func(V) string { return func(V) string { return words } }

var whys = map[reason.By]func(reason.Why) string{
	reason.Said:         always[reason.Why]("you said so"),
	reason.Alike:        func(w reason.Why) string { return "you called it alike to " + w.Name + ", which has it" },
	reason.BuildChanged: always[reason.Why]("the build was changed"),
	reason.Card:         always[reason.Why]("the bench card in the picture says so"),
	reason.CardHeld:     func(w reason.Why) string { return "a bench card said so at " + w.Name },
	reason.Folder:       func(w reason.Why) string { return "it lay in the folder " + w.Name },
	reason.Keyword:      func(w reason.Why) string { return "the picture carries the keyword " + w.Name },
	reason.InSession:    func(w reason.Why) string { return "taken during the session on " + session(w.Session) },
	reason.NearSession:  near,
	reason.OneOfSessions: func(w reason.Why) string {
		return fmt.Sprintf("a guess: %d sessions ran at that time, this one (%s) began nearest", w.Of,
			session(w.Session))
	},
	reason.NoSession: func(w reason.Why) string {
		return "to sort: no folder or keyword names it, and no session lies within " +
			journal.Spell(time.Duration(w.Away))
	},
	reason.TimeInDoubt: always[reason.Why]("to sort: no folder or keyword names it, and its time is in doubt"),
	reason.SidecarKept: always[reason.Why]("its XMP file is kept beside it"),
	reason.SidecarLost: func(w reason.Why) string { return "its XMP file was not kept (" + w.Name + ")" },
	reason.Words:       func(w reason.Why) string { return w.Name },

	reason.Preview:      always[reason.Why]("the preview its camera put into the raw picture"),
	reason.NoPreview:    always[reason.Why]("it cannot be shown: the camera put no preview into this raw picture"),
	reason.Still:        always[reason.Why]("the still that was put into the clip"),
	reason.NoStill:      always[reason.Why]("a clip, into which no still was put"),
	reason.NoDecoder:    always[reason.Why]("it cannot be shown: this rakelight was built without the decoder for HEIC"),
	reason.Converted:    func(w reason.Why) string { return w.Name + "; converted to sRGB for the pages" },
	reason.AdobeByEXIF:  always[reason.Why]("Adobe RGB, as its EXIF says without a profile; converted to sRGB for the pages"),
	reason.HighRange:    always[reason.Why]("colors of high dynamic range, not converted; shown as sRGB"),
	reason.NoProfile:    always[reason.Why]("no profile; shown as sRGB"),
	reason.BadProfile:   always[reason.Why]("a damaged profile; shown as sRGB"),
	reason.TableProfile: always[reason.Why]("a profile made of tables, not converted; shown as sRGB"),
}

func near(w reason.Why) string {
	if w.Session == nil {
		return "a guess: " + w.Name
	}
	side := "after"
	if w.Before {
		side = "before"
	}
	return fmt.Sprintf("a guess: %s %s the session on %s", journal.Spell(time.Duration(w.Away)), side,
		session(w.Session))
}

// session is a session as it was then: "lorry/clean, 2026-03-14 19:00".
func session(s *reason.Session) string {
	if s == nil {
		return "another session"
	}
	if s.Began == "" {
		return path.Join(s.Build, s.Stage)
	}
	return path.Join(s.Build, s.Stage) + ", " + s.Began
}

// Doubts is what speaks against an instant, or which dates were passed over; "" =
// nothing.
func Doubts(doubts reason.Doubts) string {
	var all []string
	for _, d := range doubts {
		all = append(all, known(doubtWords, d.Is, d))
	}
	return strings.Join(all, "; ")
}

var doubtWords = map[reason.Is]func(reason.Doubt) string{
	reason.FileTime: always[reason.Doubt]("file time, uncertain"),
	reason.DayOnly:  always[reason.Doubt]("only the day is known"),
	reason.SomeDay:  func(d reason.Doubt) string { return "some day from " + d.First + " to " + d.Last },
	reason.Scanned:  always[reason.Doubt]("that is when it was scanned, not when it was taken"),
	reason.TakingIn: always[reason.Doubt]("no date at all; the moment it was taken in stands for it"),
	reason.NeverSet: always[reason.Doubt]("the first day of a clock that was never set"),
	reason.Ahead:    always[reason.Doubt]("it lies after the moment it was taken in: a clock is wrong, the camera's or this computer's"),
	reason.Twice:    func(d reason.Doubt) string { return "the hour came twice that night: " + readings(d) },
	reason.Skipped:  func(d reason.Doubt) string { return d.Wall + " was skipped that night: " + readings(d) },
	reason.UTCOrNot: func(d reason.Doubt) string {
		return fmt.Sprintf("its header says %s: %s if that is UTC, as the standard has it; %s if it is local, as many cameras write it",
			d.Wall, d.At, d.Or)
	},
	reason.OutOfTime: func(d reason.Doubt) string {
		return states(d) + "which cannot be"
	},
	reason.NoSuchDay: func(d reason.Doubt) string { return states(d) + "a date there is not" },
	reason.Zeros:     func(d reason.Doubt) string { return states(d) + "which is no date" },
	reason.Unset: func(d reason.Doubt) string {
		return states(d) +
			"the first moment of a clock that was never set"
	},
	reason.Unread:   func(d reason.Doubt) string { return states(d) + "which is not written as a date" },
	reason.NotAsked: always[reason.Doubt]("its time is not to place it"),
	reason.Free:     func(d reason.Doubt) string { return d.Text },
}

// states is what a file states: "GPS says 2099:01:01 00:00:00, ".
func states(d reason.Doubt) string { return d.Source + " says " + d.Text + ", " }

// readings are the two moments a wall time may mean: "01:30 (+01:00) or 01:30
// (+00:00)".
func readings(d reason.Doubt) string { return reading(d.At) + " or " + reading(d.Or) }

func reading(clock string) string {
	t, err := time.Parse(reason.Clock, clock)
	if err != nil {
		return clock
	}
	return t.Format("15:04 (-07:00)")
}

// Meant is what told what the time in a clip's header means; "" = nothing had to.
func Meant(m reason.Meant) string {
	if m == "" {
		return ""
	}
	return known(meant, m, m)
}

var meant = map[reason.Meant]func(reason.Meant) string{
	reason.ByName:      always[reason.Meant]("as the time in its name shows"),
	reason.BySatellite: always[reason.Meant]("as the time of the satellites in it shows"),
	reason.ByKin:       always[reason.Meant]("as photos of the same camera at that time show"),
	reason.ByHabit:     always[reason.Meant]("as with other clips of this camera"),
	reason.ByFileTime:  always[reason.Meant]("as the file's own time shows"),
	reason.ByPresent:   always[reason.Meant]("since it would else lie after the taking in"),
}

// Fault is the clock fault that was taken off an instant: "1 h 3 min fast"; "" =
// none.
func Fault(f reason.Fault) string {
	switch {
	case !f.Known():
		return f.Text
	case !f.Any():
		return ""
	}
	return journal.SpellFault(f.Fast)
}

// Length is why a session is not counted; "" = it is.
func Length(d reason.LengthDoubt) string {
	if !d.Any() {
		return ""
	}
	return known(lengths, d.Is, d)
}

var lengths = map[reason.LengthIs]func(reason.LengthDoubt) string{
	reason.NoEnd: always[reason.LengthDoubt]("a card began it and nothing tells how long it lasted; say how long it was"),
	reason.RanLong: func(d reason.LengthDoubt) string {
		how, overnight := "the timer ran ", ""
		if d.Cards {
			how = "by its cards it lasted "
		}
		if d.Overnight {
			overnight = " overnight"
		}
		return how + journal.Spell(d.Ran) + overnight + "; say how long it really was"
	},
}

// How is how the end of a session is known; "" = it was said.
func How(h reason.How) string {
	if h == "" {
		return ""
	}
	return known(ends, h, h)
}

var ends = map[reason.How]func(reason.How) string{
	reason.FellSilent:    always[reason.How]("no end card: it ended with the last photo before a silence"),
	reason.BySeries:      always[reason.How]("known from a series of photos whose camera’s clock nothing confirms"),
	reason.UnlikeUnknown: always[reason.How]("known from a series of photos that cannot be compared, so nobody knows when they changed"),
	reason.LooseRest:     always[reason.How]("nothing tells when its break ended: the break counts until the first photo or count after it"),
}

// Trust is why the clock of a camera is believed; "" = nothing speaks for it.
func Trust(t reason.Trust) say.Key {
	key, ok := trusts[t]
	if !ok && t != "" {
		return say.Key(unknown)
	}
	return key
}

var trusts = map[reason.Trust]say.Key{
	reason.ClockPutRight: "its clock was compared and put right",
	reason.ShowsCard:     "it photographed a bench card meanwhile",
	reason.Satellites:    "its files state the time of satellites",
	reason.StatesZone:    "its files state their time zone, as those of phones do",
}

// Link is why a file belongs to another; "" = no reason is known.
func Link(l reason.Link) string {
	if !l.Any() {
		return ""
	}
	return known(links, l.By, l)
}

var links = map[reason.Kin]func(reason.Link) string{
	reason.RawOfShot: always[reason.Link]("the same name, camera and second: the raw picture of this shot"),
	reason.XMPAlong:  always[reason.Link]("its XMP file, which came along"),
	reason.XMPLater:  always[reason.Link]("its XMP file, which came later"),
	reason.Beginning: always[reason.Link]("the beginning of it, taken in before the rest had come"),
	reason.Whole:     always[reason.Link]("the whole raw picture, of which only the beginning had come before"),
	reason.SmallerCopy: func(l reason.Link) string {
		return fmt.Sprintf("a smaller copy, %d × %d pixels without any camera data, of %s (%s, %d × %d)", l.Width,
			l.Height, l.Of[:min(8, len(l.Of))], l.Name, l.OfWide, l.OfHigh)
	},
	reason.MovingShot: always[reason.Link]("what moves of this shot: the same name and moment"),
	reason.KinWords:   func(l reason.Link) string { return l.Text },
}
