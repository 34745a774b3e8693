// This file makes the state that others may see: what is private is not in it, nor
// anything by which it could be found, so that no page made of it can show it.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal/plan"
)

// ForReaders is the state without all that is private, and without what is nobody
// else's: records and their ids, devices, files set aside, remarks, keywords, the
// names of judges who did not say that they may be named, pictures of cards alone,
// and photos that belong to no build yet. It is a pure function; the state stays as
// it was, and numbers of the new one rest on what it holds.
//
// Of a private day the words and photos are gone, whoever said them, and the hours
// and counts stay. Where a text names a private photo, its name is left out.
//
// words is applied to each text that a person wrote, nil = to none.
func (s *State) ForReaders(words func(string) string) *State {
	all := s.photos()
	h := &hiding{of: s, privacy: s.privacy(), sessions: map[string]string{}, mistakes: map[string]string{},
		words: words}
	if words == nil {
		h.words = func(text string) string { return text }
	}
	h.names = namesOf(all, h.shows, h.builds)
	out := &State{Config: s.Config, Zone: s.Zone, Sheets: slices.Clone(s.Sheets), reckoned: &reckoned{}}
	out.Config.Clocks, out.Config.Name = nil, h.text(s.Config.Name)
	for i := range out.Sheets {
		out.Sheets[i].Record = ""
	}
	out.Photos, out.Series = h.photosOf(all)
	h.shown = out.PhotosByHash()
	h.judges = h.publicJudges()
	out.Builds = h.buildsOf()
	out.Mistakes = h.mistakesOf() // before what refers to them
	out.Sessions = h.sessionsOf(out.Series)
	out.Diary = h.diaryOf()
	out.Notes = h.notesOf()
	out.Pauses = h.pausesOf()
	out.Trials = h.trialsOf()
	h.judgments(out)
	h.book(out)
	h.shop(out)
	out.reach = reachOf(out.Sessions, out.Config.LongestTimer())
	out.scatter = scatterOf(out.Work(""))
	return out
}

// hiding is a state for readers in the making.
type hiding struct {
	of *State
	privacy
	shown    map[string]*Photo // by hash, those that readers see
	names    privateNames
	sessions map[string]string // id → what it is called instead
	mistakes map[string]string // record → what it is called instead
	judges   map[string]string // name → what the judge is called instead
	words    func(string) string
}

// shows reports whether readers see a photo.
func (h *hiding) shows(p *Photo) bool {
	return p.Tags.Build != "" && h.of.Build(p.Tags.Build) != nil && !p.OfCards() && !h.photo(p)
}

// build reports whether readers see nothing of a build. Of one whose folder is not
// there nobody knows what its build.md would say.
func (h *hiding) build(id string) bool {
	return h.privacy.build(id) || id != "" && h.of.Build(id) == nil
}

// said reports whether readers see what was said of a build at a moment.
func (h *hiding) said(build string, at time.Time) bool {
	return !h.build(build) && !h.moment(build, at, at.In(h.of.zone()).Format(time.DateOnly))
}

// picture is the hash of a photo where readers see it, else "".
func (h *hiding) picture(hash string) string {
	if h.shown[hash] == nil {
		return ""
	}
	return hash
}

// text is a text of a person's without the names of private photos.
func (h *hiding) text(s string) string {
	if s == "" {
		return ""
	}
	return h.words(h.names.without(s))
}

// texts are several, in place.
func (h *hiding) texts(all ...*string) {
	for _, one := range all {
		*one = h.text(*one)
	}
}

// photosOf are the photos that readers see, with the series and the bursts that they
// make among themselves.
func (h *hiding) photosOf(all []*Photo) ([]*Photo, []Series) {
	var seen State
	for _, p := range all {
		if !h.shows(p) {
			continue
		}
		one := *p
		one.Folder, one.Words, one.Why, one.Guess = "", nil, nil, false
		one.Beside, one.Record, one.CardsBy, one.DatedBy, one.Lapsed = nil, "", "", "", Lapse{}
		one.Burst, one.Series = "", ""
		h.texts(&one.Caption, &one.Instant.Said)
		seen.Photos = append(seen.Photos, &one)
	}
	seen.foldSeries()
	seen.foldBursts()
	for _, p := range seen.Photos {
		p.Camera.Serial = ""
	}
	for i := range seen.Series {
		seen.Series[i].Camera.Serial = ""
	}
	return seen.Photos, seen.Series
}

func (h *hiding) buildsOf() []*Build {
	var out []*Build
	for _, b := range h.of.Builds {
		if h.build(b.ID) {
			continue
		}
		one := *b
		one.Closed, one.Private = "", false
		one.Body, one.Checklist = plan.WithoutSupplies(one.Body, h.of.Config.SupplyHeadings())
		h.texts(&one.Title, &one.Scale, &one.ShowIn, &one.Body)
		one.Kits, one.Stages = slices.Clone(one.Kits), slices.Clone(one.Stages)
		for i := range one.Checklist {
			h.texts(&one.Checklist[i].Section, &one.Checklist[i].Text)
		}
		for i := range one.Kits {
			h.texts(&one.Kits[i].Title, &one.Kits[i].Scale)
		}
		for i := range one.Stages {
			h.texts(&one.Stages[i].Title)
		}
		out = append(out, &one)
	}
	return out
}

// sessionsOf are the sessions of builds that are shown, called after their day and
// their place in it, since their ids name devices. What series show is made anew of the
// frames and the sessions that readers see.
func (h *hiding) sessionsOf(series []Series) []*Session {
	shown := State{Config: h.of.Config, Zone: h.of.zone(), Builds: h.of.Builds, Series: series,
		Sessions: keep(h.of.Sessions, func(s *Session) bool { return !h.build(s.Build) && s.Series == "" })}
	shown.reach = reachOf(shown.Sessions, shown.Config.LongestTimer())
	shown.addSeriesSessions()
	var out []*Session
	ofDay := map[string]int{}
	for _, s := range shown.Sessions {
		one := *s
		ofDay[one.Date]++
		one.ID = one.Date
		if n := ofDay[one.Date]; n > 1 {
			one.ID = fmt.Sprintf("%s-%d", one.Date, n)
		}
		h.sessions[s.ID] = one.ID
		h.texts(&one.Note)
		one.Tools = slices.Clone(one.Tools)
		for i := range one.Tools {
			h.texts(&one.Tools[i])
		}
		if h.day(s.Build, s.Date) {
			one.Note = ""
		}
		if to, ok := h.mistakes[one.For]; ok {
			one.For = to
		} else if b := h.of.Build(one.Build); b == nil || b.Stage(one.For) == nil {
			one.For = "" // a record that readers do not see
		}
		one.Tallies = slices.Clone(one.Tallies)
		for i := range one.Tallies {
			t := &one.Tallies[i]
			t.Record, t.Photo, t.Why = "", h.picture(t.Photo), h.text(t.Why)
			if h.day(s.Build, s.Date) || !t.At.IsZero() && !h.said(s.Build, t.At) {
				t.Why = ""
			}
		}
		out = append(out, &one)
	}
	return out
}

func (h *hiding) mistakesOf() []Mistake {
	var out []Mistake
	for _, m := range h.of.Mistakes {
		if !h.said(m.Build, m.At) {
			continue
		}
		id := fmt.Sprintf("mistake-%d", len(out)+1)
		h.mistakes[m.Record], m.Record = id, id
		h.texts(&m.Kind, &m.Cause, &m.Mended)
		out = append(out, m)
	}
	return out
}

func (h *hiding) diaryOf() []DiaryDay {
	var out []DiaryDay
	for _, d := range h.of.Diary {
		if !h.day(d.Build, d.Date) {
			d.Title, d.Body = h.text(d.Title), h.text(d.Body)
			out = append(out, d)
		}
	}
	return out
}

func (h *hiding) notesOf() []Note {
	var out []Note
	for _, n := range h.of.Notes {
		build := n.Build
		if s := h.of.Session(n.Session); s != nil && (h.build(s.Build) || h.day(s.Build, s.Date)) {
			continue
		}
		if h.said(build, n.At) {
			n.Session, n.Record, n.Text = h.sessions[n.Session], fmt.Sprintf("note-%d", len(out)+1), h.text(n.Text)
			out = append(out, n)
		}
	}
	return out
}

func (h *hiding) pausesOf() []Pause {
	var out []Pause
	for _, p := range h.of.Pauses {
		if h.build(p.Build) {
			continue
		}
		p.Photo = h.picture(p.Photo)
		p.Why, p.Next, p.Waiting = h.text(p.Why), h.text(p.Next), h.text(p.Waiting)
		if !h.said(p.Build, p.From) {
			p.Why, p.Next, p.Waiting, p.Photo = "", "", "", ""
		}
		out = append(out, p)
	}
	return out
}

func (h *hiding) trialsOf() []*Trial {
	var out []*Trial
	for _, t := range h.of.Trials {
		if !h.said(t.Build, t.At) {
			continue
		}
		one := *t
		one.ID = fmt.Sprintf("trial-%d", len(out)+1)
		h.texts(&one.What, &one.Question, &one.Review, &one.Tool)
		if !t.Closed.IsZero() && !h.said(t.Build, t.Closed) {
			one.Review = ""
		}
		one.Observations = nil
		for _, o := range t.Observations {
			if h.said(t.Build, o.At) {
				o.Record, o.Photo, o.Text = "", h.picture(o.Photo), h.text(o.Text)
				one.Observations = append(one.Observations, o)
			}
		}
		out = append(out, &one)
	}
	return out
}

// judgments are the marks and verdicts on photos that are shown, and how two of them
// lie over each other.
func (h *hiding) judgments(out *State) {
	for _, m := range h.of.Marks {
		if h.shown[m.Photo] != nil {
			m.Record, m.Judge = "", h.judges[m.Judge]
			out.Marks = append(out.Marks, m)
		}
	}
	for _, v := range h.of.Verdicts {
		if h.shown[v.Left] != nil && h.shown[v.Right] != nil {
			v.Record, v.Pack, v.Pair, v.Sheet, v.Judge = "", "", "", "", h.judges[v.Judge]
			out.Verdicts = append(out.Verdicts, v)
		}
	}
	for _, p := range h.of.Points {
		if h.shown[p.A] != nil && h.shown[p.B] != nil {
			p.Record = ""
			out.Points = append(out.Points, p)
		}
	}
	for _, one := range h.of.Alikes {
		// What a person did not find alike is nobody else's, as is that it was asked.
		if !one.Not && h.shown[one.A] != nil && h.shown[one.B] != nil {
			one.Record = ""
			out.Alikes = append(out.Alikes, one)
		}
	}
}

// publicJudges are the names under which readers know the judges of what they see:
// their own, where they said yes.
func (h *hiding) publicJudges() map[string]string {
	s := h.of
	named, others := map[string]string{"": ""}, []string{}
	see := func(judge string) {
		yes := slices.ContainsFunc(s.Config.Public.Judges, func(n string) bool { return s.JudgeName(n) == judge })
		switch {
		case yes:
			named[judge] = judge
		case judge != "" && !slices.Contains(others, judge):
			others = append(others, judge)
		}
	}
	for _, v := range s.Verdicts {
		if h.shown[v.Left] != nil && h.shown[v.Right] != nil {
			see(v.Judge)
		}
	}
	for _, m := range s.Marks {
		if h.shown[m.Photo] != nil {
			see(m.Judge)
		}
	}
	for i, judge := range others {
		named[judge] = "another judge"
		if len(others) > 1 {
			named[judge] = fmt.Sprintf("another judge (%d)", i+1)
		}
	}
	return named
}

// book is the bench book, as far as it counts.
func (h *hiding) book(out *State) {
	for _, c := range h.of.Checks {
		if c.Counts() && h.noted(&c.Noted) {
			c.Record = ""
			out.Checks = append(out.Checks, c)
		}
	}
	for _, one := range h.of.Subs {
		if one.Counts() && !h.build(one.Build) {
			if !h.noted(&one.Noted) {
				one.Text, one.Photo = "", ""
			}
			one.Record = ""
			out.Subs = append(out.Subs, one)
		}
	}
	for _, one := range h.of.Holds {
		if one.Counts() && h.noted(&one.Noted) {
			one.Record, one.Released = "", ""
			h.texts(&one.Of, &one.EndText)
			if !one.Until.IsZero() && !h.said(one.Build, one.Until) {
				one.EndText = ""
			}
			out.Holds = append(out.Holds, one)
		}
	}
	for _, one := range h.of.Preps {
		if one.Counts() && h.noted(&one.Noted) {
			one.Record = ""
			h.texts(&one.Angle, &one.Side)
			out.Preps = append(out.Preps, one)
		}
	}
	for _, one := range h.of.Hands {
		if one.Counts() && h.noted(&one.Noted) {
			one.Record, one.Session = "", h.sessions[one.Session]
			h.texts(&one.Where)
			out.Hands = append(out.Hands, one)
		}
	}
}

// noted makes an entry of the bench book one for readers, and is false where they
// see nothing of it.
func (h *hiding) noted(n *Noted) bool {
	n.Photo, n.Instead = h.picture(n.Photo), ""
	h.texts(&n.Text, &n.Sub)
	return h.said(n.Build, n.At)
}

// shop is what the work is done with, as far as it counts.
func (h *hiding) shop(out *State) {
	for _, m := range h.of.Mixes {
		if m.By == "" && h.said(m.Build, m.At) {
			m.Record, m.Instead, m.Photo = "", "", h.picture(m.Photo)
			m.Recipe = slices.Clone(m.Recipe)
			for i := range m.Recipe {
				h.texts(&m.Recipe[i].What)
			}
			h.texts(&m.Name, &m.Batch, &m.Sub, &m.Text)
			out.Mixes = append(out.Mixes, m)
		}
	}
	for _, a := range h.of.Additions {
		if a.By == "" && h.said(a.Build, a.At) {
			a.Record, a.Instead, a.Photo = "", "", h.picture(a.Photo)
			h.texts(&a.Text, &a.Where, &a.Sub)
			out.Additions = append(out.Additions, a)
		}
	}
	for _, p := range h.of.Sandings {
		if p.By == "" && h.said(p.Build, p.At) {
			p.Record, p.Instead, p.Photo = "", "", h.picture(p.Photo)
			h.texts(&p.Text, &p.Sub)
			out.Sandings = append(out.Sandings, p)
		}
	}
}

// Withheld is how much of a journal readers do not see, for the person alone.
type Withheld struct {
	Builds, Days, Photos int // private
	Unsorted             int // photos that are not private, and belong to no build
	OfCards              int // pictures of cards alone

	// Naming are the person's own texts, below the journal folder, that readers see and
	// in which the title or the id of a private build stands: a name in a sentence is
	// left as it was written.
	Naming []string
}

// Withheld counts what ForReaders leaves out.
func (s *State) Withheld() Withheld {
	h := hiding{of: s, privacy: s.privacy()}
	h.names = namesOf(s.photos(), h.shows, h.builds)
	w := Withheld{Days: len(h.days)}
	for _, b := range s.Builds {
		if h.build(b.ID) {
			w.Builds++
		}
	}
	for _, p := range s.photos() {
		switch {
		case h.photo(p):
			w.Photos++
		case p.Tags.Build == "" || s.Build(p.Tags.Build) == nil:
			w.Unsorted++
		case p.OfCards():
			w.OfCards++
		}
	}
	w.Naming = h.naming()
	return w
}

// naming are the files of texts that readers see and that name a private build.
func (h *hiding) naming() []string {
	var names []string
	for _, b := range h.of.Builds {
		if h.build(b.ID) {
			names = append(names, strings.ToLower(b.ID), strings.ToLower(b.Title))
		}
	}
	var files []string
	look := func(file, text string) {
		if text = strings.ToLower(h.names.without(text)); slices.ContainsFunc(names, func(name string) bool {
			return name != "" && strings.Contains(text, name)
		}) {
			files = append(files, file)
		}
	}
	for _, b := range h.of.Builds {
		if !h.build(b.ID) {
			look("builds/"+b.ID+"/build.md", b.Body)
		}
	}
	for _, d := range h.of.Diary {
		if !h.day(d.Build, d.Date) {
			look("builds/"+d.Build+"/diary/"+d.Date+".md", d.Title+"\n"+d.Body)
		}
	}
	return files
}
