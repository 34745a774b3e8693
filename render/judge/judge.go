// Package judge shows blind pairs: on a page it serves here, and in packs, which
// are single files that open on any computer.
//
// Start with Serve, or with Pack and, for what comes back, ParseAnswers. Two photos
// stand side by side with a question and nothing that tells build or time: both are
// cropped to one shape, scaled to one size and written anew from their pixels, so
// that no name, date, camera or size of the original is on the page, in an address
// or in the files. An address is a random number that is good for one showing. The
// page is for this computer alone; a pack asks for nothing from anywhere.
package judge

import (
	"context"
	_ "embed"
	"errors"
	"html/template"
	"math/rand/v2"
	"net/http"
	"sync"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/render/guard"
	"rakelight/site"
)

//go:embed page.html
var pageText string

//go:embed page.js
var script []byte

var page = template.Must(template.New("page").Parse(pageText))

const policy = "default-src 'none'; img-src 'self'; style-src 'self'; font-src 'self'; script-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// Server serves the page at its URL until its context ends or Close is called.
type Server struct {
	*guard.Server

	journal *journal.Journal
	judge   string
	rng     *rand.Rand

	mu     sync.Mutex
	now    *showing
	said   int
	broken map[string]bool // photos that could not be shown
}

// showing is the pair on the page. Its names are good until it is judged.
type showing struct {
	pair        *journal.BlindPair
	Token       string
	Left, Right string // picture names
	pictures    map[string][]byte
}

// Serve starts the page for a judge ("" = the journal's owner) on a free port
// of this computer.
func Serve(ctx context.Context, j *journal.Journal, judge string, seed uint64) (*Server, error) {
	s := &Server{journal: j, judge: judge, rng: rand.New(rand.NewPCG(seed, 3)), broken: map[string]bool{}}
	var err error
	if s.Server, err = guard.Serve(ctx, guard.Any, policy, "no-store", s.handler()); err != nil {
		return nil, err
	}
	return s, nil
}

// Said is how many verdicts were given.
func (s *Server) Said() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.said
}

func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /page.css", guard.Static("text/css; charset=utf-8",
		[]byte(styleWith(func(name string) string { return "/font/" + name }))))
	for _, name := range fonts {
		data, err := site.Files.ReadFile("fonts/" + name)
		if err != nil {
			panic("judge: the font " + name + " is not embedded")
		}
		mux.HandleFunc("GET /font/"+name, guard.Static("font/woff2", data))
	}
	mux.HandleFunc("GET /page.js", guard.Static("text/javascript; charset=utf-8", script))
	mux.HandleFunc("GET /{$}", s.show)
	mux.HandleFunc("GET /picture/{name}", s.picture)
	mux.HandleFunc("POST /{$}", s.take)
	return mux
}

// show writes the page of the pair that waits, or of a new one.
func (s *Server) show(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now == nil {
		if err := s.next(); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
	}
	var data struct {
		Said                                          int
		Form, Token, Left, Right, Question, Two, Four string
	}
	data.Said, data.Form = s.said, guard.Form(r)
	if s.now != nil {
		c := journal.Criteria[s.now.pair.Criterion-1]
		data.Token, data.Left, data.Right = s.now.Token, s.now.Left, s.now.Right
		data.Question, data.Two, data.Four = question(c), c.Two, c.Four.English()
	}
	guard.Page(w, page, data)
}

// question asks what the judge is to say: "Joins: which is the better work?"
func question(c journal.Criterion) string {
	return journal.Capital(c.Name.English()) + ": which is the better work?"
}

// next chooses a pair both photos of which can be shown; now stays nil when
// there is none.
func (s *Server) next() error {
	for {
		pair := s.journal.State.NextPair(s.judge, s.rng, s.broken)
		if pair == nil {
			return nil
		}
		one := &showing{pair: pair, pictures: map[string][]byte{}}
		var err error
		for _, name := range []*string{&one.Token, &one.Left, &one.Right} {
			if *name, err = random(24); err != nil {
				return err
			}
		}
		whole := true
		for name, p := range map[string]*journal.Photo{one.Left: pair.Left, one.Right: pair.Right} {
			if one.pictures[name], err = neutralOf(s.journal, p, detailOf(pair), quality); err != nil {
				s.broken[p.Hash], whole = true, false
			}
		}
		if whole {
			s.now = one
			return nil
		}
	}
}

func (s *Server) picture(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	var data []byte
	if s.now != nil {
		data = s.now.pictures[r.PathValue("name")]
	}
	s.mu.Unlock()
	if data == nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", "image/jpeg")
	_, _ = w.Write(data)
}

// take records a verdict. The token is of the pair shown: a page that was left
// open cannot judge another.
func (s *Server) take(w http.ResponseWriter, r *http.Request) {
	token, outcome := r.PostFormValue("token"), r.PostFormValue("outcome")
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.now != nil && token == s.now.Token {
		_, err := entry.Do(s.journal, entry.Verdict{Left: s.now.pair.Left.Hash, Right: s.now.pair.Right.Hash,
			Criterion: s.now.pair.Criterion, Outcome: outcome, Judge: s.judge})
		if words, refused := wording.Refused(err); refused {
			http.Error(w, words.What, http.StatusBadRequest)
			return
		}
		if err != nil {
			http.Error(w, errors.Join(errors.New("the verdict was not kept"), err).Error(),
				http.StatusInternalServerError)
			return
		}
		s.said++
		s.now = nil
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
