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
	"net/http"
	"strconv"
	"strings"
	"sync"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/media"
	"rakelight/render/guard"
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
	*guard.Server

	// Saved is closed when the points are kept and the page says so.
	Saved chan struct{}

	journal  *journal.Journal
	photos   [2]*journal.Photo
	pictures map[string][]byte
	names    [2]string
	token    string

	mu    sync.Mutex // also over the journal, which changes when points are kept
	saved *entry.Outcome
	words string // of it
}

// Serve starts the page for two photos on a free port of this computer.
func Serve(ctx context.Context, j *journal.Journal, a, b *journal.Photo) (*Server, error) {
	s := &Server{Saved: make(chan struct{}), journal: j, photos: [2]*journal.Photo{a, b}, pictures: map[string][]byte{},
		token: crand.Text(), names: [2]string{crand.Text(), crand.Text()}}
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
	if s.Server, err = guard.Serve(ctx, guard.Any, policy, "no-store", s.handler()); err != nil {
		return nil, err
	}
	s.URL += s.token + "/"
	return s, nil
}

// Said is what saving the points did, nil when they are not saved.
func (s *Server) Said() *entry.Outcome {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.saved
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
	mux.HandleFunc(at("GET", "page.css"), guard.Static("text/css; charset=utf-8", style))
	mux.HandleFunc(at("GET", "page.js"), guard.Static("text/javascript; charset=utf-8", script))
	for name, data := range s.pictures {
		mux.HandleFunc(at("GET", name+".jpg"), guard.Static("image/jpeg", data))
	}
	mux.HandleFunc(at("GET", "{$}"), s.show)
	mux.HandleFunc(at("GET", "fit"), s.fit)
	mux.HandleFunc(at("POST", "{$}"), s.take)
	return mux
}

// shownPicture is one of the two pictures as the page shows it.
type shownPicture struct{ Src, Side, Words string }

func (s *Server) show(w http.ResponseWriter, r *http.Request) {
	var data struct {
		Form     string
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
		if p.Instant.Said != "" {
			words += ", " + p.Instant.Said
		} else if !p.Instant.At.IsZero() {
			words += ", " + p.Instant.At.Format("2 January 2006")
		}
		data.Pictures[i] = shownPicture{s.names[i] + ".jpg", [2]string{"left", "right"}[i], words}
	}
	data.Points = Spell(pairs)
	data.Form = guard.Form(r)
	data.Typed = journal.Typed("rakelight align %s %s --at %s", s.photos[0].Short(), s.photos[1].Short(),
		"0.31,0.42=0.33,0.40 0.70,0.55=0.72,0.52")
	guard.Page(w, page, data)
}

// fit says what points come to, before they are saved. Those that hardly agree
// are a conflict: they may be kept all the same.
func (s *Server) fit(w http.ResponseWriter, r *http.Request) {
	pairs, err := Parse(r.URL.Query().Get("at"))
	var spots entry.Spots
	if err == nil {
		spots, err = entry.Fit(s.photos[0], s.photos[1], pairs)
	}
	if err != nil {
		refuse(w, err)
		return
	}
	if err := spots.Doubt(); err != nil {
		refuse(w, err)
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	_, _ = fmt.Fprint(w, wording.Spots(spots))
}

// refuse tells why points cannot be kept, or only if they are meant.
func refuse(w http.ResponseWriter, err error) {
	words, ok := wording.Refused(err)
	if !ok {
		words.What = err.Error()
	}
	code := http.StatusBadRequest
	var r *entry.Refusal
	if errors.As(err, &r) && (r.Reason == entry.SpotsFar || r.Reason == entry.SpotsTurned) {
		code = http.StatusConflict
	}
	http.Error(w, words.What, code)
}

// take keeps the points.
func (s *Server) take(w http.ResponseWriter, r *http.Request) {
	pairs, err := Parse(r.PostFormValue("at"))
	if err != nil {
		refuse(w, err)
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.saved == nil {
		if err := s.keep(pairs, r.PostFormValue("anyway") != ""); err != nil {
			if _, ok := wording.Refused(err); ok {
				refuse(w, err)
				return
			}
			http.Error(w, errors.Join(errors.New("the points were not kept"), err).Error(),
				http.StatusInternalServerError)
			return
		}
	}
	guard.Page(w, page, map[string]any{"Saved": s.words})
	select {
	case <-s.Saved:
	default:
		close(s.Saved)
	}
}

// keep writes the points down.
func (s *Server) keep(pairs []journal.PointPair, anyway bool) error {
	done, err := entry.Do(s.journal, entry.Points{A: s.photos[0].Hash, B: s.photos[1].Hash, Pairs: pairs,
		Anyway: anyway})
	if err != nil {
		return err
	}
	spots, err := entry.Fit(s.photos[0], s.photos[1], pairs)
	if err != nil {
		return err
	}
	s.saved, s.words = &done, wording.Spots(spots)
	return nil
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
			return nil,
				fmt.Errorf("%q is not a spot: it is written X,Y=X,Y, the place in the first photo and that in the second, as shares of width and height from 0 to 1",
					word)
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
