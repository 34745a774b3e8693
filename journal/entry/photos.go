// What is said of photos: tags, cards' words that are typed and how large cards
// were printed, the same spots in two, when one was taken, a camera's clock.

package entry

import (
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// Tag says where photos belong.
type Tag struct {
	Photos            []string
	Series            bool   // each photo that is a frame of a series stands for all frames of it
	Build, Stage      string // "" = as they are
	Kit               int    // 0 = as it is
	Role, View, Light string
	Parts             string
	Caption           *string
	Clear             []string // names of tags to unset
}

// tagNames are the tags that can be unset.
var tagNames = []string{"build", "stage", "kit", "role", "view", "light", "parts"}

// Plan looks that every word is one the journal knows.
func (r Tag) Plan(l journal.Look) (Plan, error) {
	if err := r.known(); err != nil {
		return Plan{}, err
	}
	for _, name := range r.Clear {
		if !slices.Contains(tagNames, name) {
			return Plan{}, &Refusal{Reason: NotKnown, Field: "clear", Name: name, Known: tagNames}
		}
	}
	if r.Build+r.Stage+r.Role+r.View+r.Light+r.Parts == "" && len(r.Clear) == 0 && r.Caption == nil && r.Kit == 0 {
		return Plan{}, &Refusal{Reason: NothingToSet}
	}
	photos, err := r.photos(l)
	if err != nil {
		return Plan{}, err
	}
	var plan Plan
	for _, p := range photos {
		body := journal.TagBody{Photo: p.Hash, Clear: r.Clear, Caption: r.Caption}
		if body.Set, err = r.set(l, p); err != nil {
			return Plan{}, err
		}
		plan.Add = append(plan.Add, body)
	}
	return plan, nil
}

// photos are those that are meant, each once.
func (r Tag) photos(l journal.Look) ([]*journal.Photo, error) {
	var all []*journal.Photo
	for _, name := range r.Photos {
		p, err := Photo(l.State, name)
		if err != nil {
			return nil, err
		}
		meant := []*journal.Photo{p}
		if r.Series && p.Series != "" {
			meant = l.FramesOf(p.Series)
		}
		for _, one := range meant {
			if !slices.Contains(all, one) {
				all = append(all, one)
			}
		}
	}
	return all, nil
}

// known looks that role, view and light are words the journal knows.
func (r Tag) known() error {
	for _, one := range []struct {
		field, said string
		known       []string
	}{{"role", r.Role, journal.Roles}, {"view", r.View, journal.Views}, {"light", r.Light, journal.Lights}} {
		if err := oneOf(one.field, one.said, one.known); err != nil {
			return err
		}
	}
	return nil
}

// set is what the photo's tags are set to. Stage, kit and parts are of the build
// that is named, else of the photo's own.
func (r Tag) set(l journal.Look, p *journal.Photo) (journal.Tags, error) {
	set := journal.Tags{Role: r.Role, View: r.View, Light: r.Light, Kit: r.Kit}
	build := l.Build(p.Tags.Build)
	if r.Build != "" {
		var err error
		if build, err = l.ResolveBuild(r.Build); err != nil {
			return set, err
		}
		set.Build = build.ID
	}
	if build == nil && (r.Stage != "" || r.Kit != 0) {
		return set, &Refusal{Reason: NoBuild}
	}
	if r.Stage != "" {
		st, err := l.StageCalled(build, r.Stage)
		if err != nil {
			return set, err
		}
		set.Stage = st.ID
	}
	if r.Kit != 0 {
		if err := kitOf(build, r.Kit); err != nil {
			return set, err
		}
	}
	var err error
	set.Parts, err = named(build, r.Parts)
	return set, err
}

// Cards says what the bench cards in a photo say, whatever was read, and also
// where none was.
type Cards struct {
	Photo string
	Words string // "5 parts, end"; "nothing" = they say nothing
}

// Plan reads the words as cards.
func (r Cards) Plan(l journal.Look) (Plan, error) {
	p, err := Photo(l.State, r.Photo)
	if err != nil {
		return Plan{}, err
	}
	cards, err := l.CardsFrom(r.Words, cardBuild(l, p))
	if err != nil {
		return Plan{}, err
	}
	body := journal.CardBody{Photo: p.Hash}
	for _, c := range cards {
		text, err := c.Text()
		if err != nil {
			return Plan{}, err
		}
		body.Cards = append(body.Cards, text)
	}
	return unlessBase(l, p, body)
}

// cardBuild is the build that a person means who names none: that of a card read
// in the photo, else the photo's own.
func cardBuild(l journal.Look, p *journal.Photo) *journal.Build {
	for _, seen := range p.Cards {
		if c, err := journal.ParseCard(seen.Text); err == nil && c.Build != "" {
			if i := slices.IndexFunc(l.Builds,
				func(b *journal.Build) bool { return journal.BuildKey(b.ID) == c.Build }); i >= 0 {
				return l.Builds[i]
			}
		}
	}
	return l.Build(p.Tags.Build)
}

// NoCardsIn says that the bench cards found in a photo say nothing.
type NoCardsIn struct {
	Photo string
}

// Plan looks that there are any.
func (r NoCardsIn) Plan(l journal.Look) (Plan, error) {
	p, err := Photo(l.State, r.Photo)
	if err != nil {
		return Plan{}, err
	}
	if len(p.Cards) == 0 && p.CardsBy == "" {
		return Plan{}, &Refusal{Reason: NoCards, Photo: p}
	}
	return unlessBase(l, p, journal.CardBody{Photo: p.Hash})
}

// unlessBase is one record about a photo, or a refusal where something rests on
// what the photo's cards say without it: a correction of the session they began.
func unlessBase(l journal.Look, p *journal.Photo, body journal.Body) (Plan, error) {
	plan, _ := just(body)
	if err := whole(l, plan, p.Short()); err != nil {
		return Plan{}, err
	}
	return plan, nil
}

// PrintedSheet says how long the scale on the cards of a printed sheet is, which
// is journal.ScaleLength at 100 %.
type PrintedSheet struct {
	Sheet    string  // its mark, "" = cards that bear none
	Measured float64 // millimeters from 0 to 50
	From, To string  // YYYY-MM-DD, days of the photos it is said of; "" = no limit
	Photo    string  // one that shows all of it, by whose paper it was measured; "" = by a ruler
	Paper    string  // what that paper is
	Error    float64 // standard error of Measured, millimeters; 0 = that of a ruler
}

// Plan looks that it is a measure, and that there are such cards.
func (r PrintedSheet) Plan(l journal.Look) (Plan, error) {
	body := journal.SheetBody{Sheet: r.Sheet, Measured: r.Measured, From: r.From, To: r.To, Paper: r.Paper,
		Error: r.Error}
	if err := body.Check(); err != nil {
		return Plan{}, &Refusal{Reason: NoMeasure, Err: err}
	}
	if r.Photo != "" {
		p, err := Photo(l.State, r.Photo)
		if err != nil {
			return Plan{}, err
		}
		body.Photo = p.Hash
	}
	if err := l.AskSheet(body); err != nil {
		return Plan{}, err
	}
	return just(body)
}

// Points are the same spots in two photos, by which one is laid over the other.
type Points struct {
	A, B   string // photos
	Pairs  []journal.PointPair
	Anyway bool // also where they hardly agree
}

// Spots is what laying a photo over another by points comes to.
type Spots struct {
	Count       int
	Scale, Turn float64 // Turn in degrees
	Off         float64 // pixels of the second photo on average, of three spots
	Width       int     // of the second photo, pixels
}

// Where spots are too poor to be meant: three that are this share of the picture's
// width off on average, and photos turned by more than this.
const (
	MostOff  = 0.05
	MostTurn = 60 // degrees
)

// Doubt is nil unless the spots are hardly the same in both photos.
func (s Spots) Doubt() error {
	switch {
	case s.Off > MostOff*float64(s.Width):
		return &Refusal{Reason: SpotsFar, Spots: &s}
	case math.Abs(s.Turn) > MostTurn:
		return &Refusal{Reason: SpotsTurned, Spots: &s}
	}
	return nil
}

// Fit is what laying photo a over photo b by points comes to.
func Fit(a, b *journal.Photo, pairs []journal.PointPair) (Spots, error) {
	if err := journal.CheckPoints(pairs); err != nil {
		return Spots{}, &Refusal{Reason: SpotsNothing, Err: err}
	}
	var from, to [][2]float64
	for _, p := range pairs {
		from = append(from, [2]float64{p[0] * float64(a.Width), p[1] * float64(a.Height)})
		to = append(to, [2]float64{p[2] * float64(b.Width), p[3] * float64(b.Height)})
	}
	s, err := metrics.SimilarityOf(from, to)
	if err != nil {
		return Spots{}, &Refusal{Reason: SpotsNothing, Err: err}
	}
	out := Spots{Count: len(pairs), Scale: s.Scale, Turn: s.Turn * 180 / math.Pi, Width: b.Width}
	for i := range from {
		x, y := s.At(from[i][0], from[i][1])
		out.Off += math.Hypot(x-to[i][0], y-to[i][1]) / float64(len(from))
	}
	return out, nil
}

// Plan refuses spots that fix nothing, and those that hardly agree unless they
// are meant.
func (r Points) Plan(l journal.Look) (Plan, error) {
	a, err := Still(l.State, r.A)
	if err != nil {
		return Plan{}, err
	}
	b, err := Still(l.State, r.B)
	if err != nil {
		return Plan{}, err
	}
	if a == b {
		return Plan{}, &Refusal{Reason: SamePhoto}
	}
	spots, err := Fit(a, b, r.Pairs)
	if err != nil {
		return Plan{}, err
	}
	if err := spots.Doubt(); err != nil && !r.Anyway {
		return Plan{}, err
	}
	plan, _ := just(journal.PointsBody{A: a.Hash, B: b.Hash, Pairs: r.Pairs})
	if _, earlier := l.PointsOf(a, b); earlier != "" {
		plan.Remarks = append(plan.Remarks, Remark{Matter: ReplacesPoints, Record: earlier})
	}
	return plan, nil
}

// Clock says that a camera's clock was wrong from and to the days it showed, both
// included; "" = always.
type Clock struct {
	Camera   string         // as a person names it
	Of       journal.Camera // in place of Camera: one that no kept photo names yet
	Fast     time.Duration  // how far it was ahead; below 0 = behind
	Photo    string         // in place of Camera and Fast: a photo of it …
	Really   string         // … and when that was really taken: "2026-03-14 19:32:05", "19:32:05"
	From, To string         // YYYY-MM-DD
}

// Plan refuses what would move photos nobody meant.
func (r Clock) Plan(l journal.Look) (Plan, error) {
	body := journal.ClockBody{From: r.From, To: r.To}
	fast := r.Fast
	if r.Photo != "" {
		p, err := Photo(l.State, r.Photo)
		if err != nil {
			return Plan{}, err
		}
		if fast, err = journal.FaultOf(p, r.Really); err != nil {
			return Plan{}, err
		}
		body.Camera, body.Photo, body.Really = p.Camera, p.Hash, r.Really
	} else if body.Camera = r.Of; r.Of == (journal.Camera{}) {
		camera, err := l.ResolveCamera(r.Camera)
		if err != nil {
			return Plan{}, err
		}
		body.Camera = camera.Camera
	}
	body.Fast = journal.FaultText(fast)
	if err := body.Check(); err != nil {
		return Plan{}, &Refusal{Reason: ClockImpossible, Err: err}
	}
	plan, _ := just(body)
	if err := whole(l, plan, "the clock of "+strings.TrimSpace(body.Camera.Make+" "+body.Camera.Model)); err != nil {
		return Plan{}, err
	}
	return plan, nil
}
