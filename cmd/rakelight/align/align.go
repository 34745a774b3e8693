// Package align serves the page on which a person shows the same spots in two
// photos, so that one can be laid over the other.
//
// Start with Serve. Both photos stand side by side; the same spot is tapped in
// each, two or three times, and saved as one record. The page is for this
// computer alone, and its addresses are random numbers.
package align

import (
	"bytes"
	"context"
	crand "crypto/rand"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"image/jpeg"
	"math"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
	"rakelight/render/loopback"
)

// Pictures on the page are this wide and high at most.
const (
	longest = 1600
	quality = 88
)

//go:embed page.html
var pageText string

//go:embed page.css
var style []byte

//go:embed page.js
var script []byte

var page = template.Must(template.New("page").Parse(pageText))

const policy = "default-src 'none'; img-src 'self'; style-src 'self'; script-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Server serves the page at its URL until its context ends, or Close or Finish is
// called.
type Server struct {
	*loopback.Server

	// Saved is closed when the points are kept and the page says so.
	Saved chan struct{}

	journal  *journal.Journal
	photos   [2]*journal.Photo
	pictures map[string][]byte
	names    [2]string
	token    string

	mu     sync.Mutex // also over the journal, which changes when points are kept
	record journal.Record
	words  string
}

// Serve starts the page for two photos on a free port of this computer.
func Serve(ctx context.Context, j *journal.Journal, a, b *journal.Photo) (*Server, error) {
	s := &Server{Saved: make(chan struct{}), journal: j, photos: [2]*journal.Photo{a, b}, pictures: map[string][]byte{}, token: crand.Text(), names: [2]string{crand.Text(), crand.Text()}}
	for i, p := range s.photos {
		var data []byte
		file, err := j.Original(p.Path)
		if err == nil {
			data, err = picture(file, p.Turn)
		}
		if err != nil {
			return nil, fmt.Errorf("%s cannot be shown, and nothing was written: %w", p.Short(), err)
		}
		s.pictures[s.names[i]] = data
	}
	var err error
	if s.Server, err = loopback.Serve(ctx, loopback.Any, policy, "no-store", s.handler()); err != nil {
		return nil, err
	}
	s.URL += s.token + "/"
	return s, nil
}

// Said is the record of the saved points and what they come to.
func (s *Server) Said() (journal.Record, string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.record, s.words
}

// picture is the photo upright, no larger than the page needs, from its pixels.
func picture(path string, turn int) ([]byte, error) {
	img, err := media.Decode(path, media.DefaultLimits)
	if err != nil {
		return nil, err
	}
	small := imaging.Fit(img, longest, longest, imaging.Lanczos)
	var b bytes.Buffer
	err = jpeg.Encode(&b, media.Upright(small, turn), &jpeg.Options{Quality: quality})
	return b.Bytes(), err
}

func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	// All addresses begin with the token: another page open in the same browser
	// does not know it.
	at := func(method, path string) string { return method + " /" + s.token + "/" + path }
	mux.HandleFunc(at("GET", "page.css"), loopback.Static("text/css; charset=utf-8", style))
	mux.HandleFunc(at("GET", "page.js"), loopback.Static("text/javascript; charset=utf-8", script))
	for name, data := range s.pictures {
		mux.HandleFunc(at("GET", name+".jpg"), loopback.Static("image/jpeg", data))
	}
	mux.HandleFunc(at("GET", "{$}"), s.show)
	mux.HandleFunc(at("GET", "fit"), s.fit)
	mux.HandleFunc(at("POST", "{$}"), s.take)
	return mux
}

// shownPicture is one of the two pictures as the page shows it.
type shownPicture struct{ Src, Side, Words string }

func (s *Server) show(w http.ResponseWriter, _ *http.Request) {
	var data struct {
		Pictures [2]shownPicture
		Points   string // that stand now
		Saved    string
		Typed    string // the same by typing
	}
	s.mu.Lock()
	data.Saved = s.words
	pairs, _ := s.journal.State.PointsOf(s.photos[0], s.photos[1])
	s.mu.Unlock()
	for i, p := range s.photos {
		words := p.Short()
		if !p.Instant.At.IsZero() {
			words += ", " + p.Instant.At.Format("2 January 2006")
		}
		data.Pictures[i] = shownPicture{s.names[i] + ".jpg", [2]string{"left", "right"}[i], words}
	}
	data.Points = Spell(pairs)
	data.Typed = journal.Typed("rakelight align %s %s --at %s", s.photos[0].Short(), s.photos[1].Short(), "0.31,0.42=0.33,0.40 0.70,0.55=0.72,0.52")
	loopback.Page(w, page, data)
}

// fit says what points come to, before they are saved.
func (s *Server) fit(w http.ResponseWriter, r *http.Request) {
	words := ""
	pairs, err := Parse(r.URL.Query().Get("at"))
	if err == nil {
		words, err = Fit(s.photos[0], s.photos[1], pairs)
	}
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = fmt.Fprint(w, words)
}

// take keeps the points.
func (s *Server) take(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, 4096)
	pairs, err := Parse(r.PostFormValue("at"))
	if err == nil {
		_, err = Fit(s.photos[0], s.photos[1], pairs)
	}
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.words == "" {
		rec, words, err := Keep(s.journal, s.photos[0], s.photos[1], pairs)
		if err != nil {
			http.Error(w, errors.Join(errors.New("the points were not kept"), err).Error(), http.StatusInternalServerError)
			return
		}
		s.record, s.words = rec, words
	}
	loopback.Page(w, page, map[string]any{"Saved": s.words})
	select {
	case <-s.Saved:
	default:
		close(s.Saved)
	}
}

// Keep writes points of two photos as a record and says what they come to.
func Keep(j *journal.Journal, a, b *journal.Photo, pairs []journal.PointPair) (journal.Record, string, error) {
	words, err := Fit(a, b, pairs)
	if err != nil {
		return journal.Record{}, "", err
	}
	rec, err := j.Append("points", journal.PointsBody{A: a.Hash, B: b.Hash, Pairs: pairs})
	return rec, words, err
}

// Where a fit is too poor to be meant: three spots that are this share of the
// picture's width off on average, and photos turned by more than this.
const (
	mostOff  = 0.05
	mostTurn = 60 // degrees
)

// fit is what laying a photo over another comes to.
type fit struct {
	scale, turn float64 // turn in degrees
	off         float64 // pixels on average, of three spots
}

// Fit says what laying photo a over photo b by pairs of points comes to.
func Fit(a, b *journal.Photo, pairs []journal.PointPair) (string, error) {
	f, err := fitOf(a, b, pairs)
	if err != nil {
		return "", err
	}
	words := fmt.Sprintf("scaled %.2f times, turned by %.1f°", f.scale, f.turn)
	if len(pairs) == journal.FewestPoints {
		return "2 spots: " + words + "; a third would show how well they agree", nil
	}
	return fmt.Sprintf("%d spots: %s; they are %.1f of %d pixels off on average", len(pairs), words, f.off, b.Width), nil
}

// Doubt returns an AskError when pairs of points hardly show the same spots.
func Doubt(a, b *journal.Photo, pairs []journal.PointPair) error {
	f, err := fitOf(a, b, pairs)
	if err != nil {
		return err
	}
	why := ""
	switch {
	case f.off > mostOff*float64(b.Width):
		why = fmt.Sprintf("the spots are %.0f of %d pixels off on average, more than %.0f %% of the width", f.off, b.Width, 100*mostOff)
	case math.Abs(f.turn) > mostTurn:
		why = fmt.Sprintf("the spots turn the photo by %.0f°, more than %d°", f.turn, mostTurn)
	default:
		return nil
	}
	return &journal.AskError{What: why + ": nothing was written", Hint: "look that each spot is the same in both photos, in the order first=second; --anyway keeps them as they are"}
}

func fitOf(a, b *journal.Photo, pairs []journal.PointPair) (fit, error) {
	if err := journal.CheckPoints(pairs); err != nil {
		return fit{}, err
	}
	var from, to [][2]float64
	for _, p := range pairs {
		from = append(from, [2]float64{p[0] * float64(a.Width), p[1] * float64(a.Height)})
		to = append(to, [2]float64{p[2] * float64(b.Width), p[3] * float64(b.Height)})
	}
	s, err := card.SimilarityOf(from, to)
	if err != nil {
		return fit{}, err
	}
	out := fit{scale: s.Scale, turn: s.Turn * 180 / math.Pi}
	for i := range from {
		x, y := s.At(from[i][0], from[i][1])
		out.off += math.Hypot(x-to[i][0], y-to[i][1]) / float64(len(from))
	}
	return out, nil
}

// Parse reads points as they are typed: "X,Y=X,Y X,Y=X,Y", as shares of the
// width and height of the first and the second picture.
func Parse(text string) ([]journal.PointPair, error) {
	var pairs []journal.PointPair
	for word := range strings.FieldsSeq(text) {
		left, right, ok := strings.Cut(word, "=")
		var one journal.PointPair
		for i, half := range [2]string{left, right} {
			x, y, comma := strings.Cut(half, ",")
			ok = ok && comma
			for k, number := range [2]string{x, y} {
				v, err := strconv.ParseFloat(number, 64)
				one[2*i+k], ok = v, ok && err == nil
			}
		}
		if !ok {
			return nil, fmt.Errorf("%q is no spot: it is written X,Y=X,Y, the place in the first photo and that in the second, as shares of width and height from 0 to 1", word)
		}
		pairs = append(pairs, one)
	}
	return pairs, journal.CheckPoints(pairs)
}

// Spell writes points as Parse reads them.
func Spell(pairs []journal.PointPair) string {
	var words []string
	for _, p := range pairs {
		words = append(words, fmt.Sprintf("%.4f,%.4f=%.4f,%.4f", p[0], p[1], p[2], p[3]))
	}
	return strings.Join(words, " ")
}
