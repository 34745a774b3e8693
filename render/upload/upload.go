// Package upload takes photos from a page, in pieces, into the inbox.
//
// Start with Handler, and mount it where a guard stands before. A page sends a photo
// as posts of at most Piece bytes, one after another, each with its form token in the
// header guard.FormHeader and with these in the address:
//
//	name    of the file, "IMG_0412.jpg"
//	size    of all of it, in bytes
//	hash    SHA-256 of all of it, in hex digits
//	offset  of this piece
//	build, stage, role, view, light  where it belongs, those that are known
//
// The answer is JSON, an Answer: a page goes on at Have until Whole. A piece without
// bytes at offset 0 asks where to go on: the answer is 409 where that is elsewhere.
// What bytes become is the inbox's (media/inbox).
package upload

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"
	"syscall"

	"rakelight/media/inbox"
	"rakelight/render/guard"
)

// Piece is how many bytes of a photo are taken in one post: some seconds of a poor
// network.
const Piece = 1 << 20

// Answer is what a page is told.
type Answer struct {
	Have  int64  `json:"have"`            // so many bytes are there: the next piece begins here
	Whole bool   `json:"whole"`           // the photo lies in the inbox
	Error string `json:"error,omitempty"` // for the person
}

// Handler takes photos. where says where one belongs, as folders of the inbox say it
// ("pilot-boat", "clean", "after"), or why it cannot; nil is Named.
func Handler(c *inbox.Coming, where func(*http.Request) ([]string, error)) http.Handler {
	if where == nil {
		where = Named
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodPost {
			w.Header().Set("Allow", http.MethodPost)
			answer(w, http.StatusMethodNotAllowed, Answer{Error: "photos are sent here"})
			return
		}
		guard.AllowBody(r, Piece)
		a, offset, err := arrival(r)
		if err == nil {
			a.Folders, err = where(r)
		}
		if err == nil {
			err = a.Check()
		}
		if err != nil {
			answer(w, http.StatusBadRequest, Answer{Error: err.Error()})
			return
		}
		got, err := c.Piece(a, offset, r.Body)
		said := Answer{Have: got.Have, Whole: got.Whole}
		if err != nil {
			said.Error = err.Error()
		}
		answer(w, code(err), said)
	})
}

// Named is where a photo belongs by what the address of the request names, as it is:
// nobody asks whether there is such a build.
func Named(r *http.Request) ([]string, error) {
	var folders []string
	q := r.URL.Query()
	for _, name := range []string{"build", "stage", "role", "view", "light"} {
		if word := q.Get(name); word != "" {
			folders = append(folders, word)
		}
	}
	return folders, nil
}

func arrival(r *http.Request) (a inbox.Arrival, offset int64, err error) {
	q := r.URL.Query()
	a = inbox.Arrival{Name: q.Get("name"), Hash: q.Get("hash")}
	var errSize, errOffset error
	a.Size, errSize = strconv.ParseInt(q.Get("size"), 10, 64)
	offset, errOffset = strconv.ParseInt(q.Get("offset"), 10, 64)
	if errSize != nil || errOffset != nil || offset < 0 {
		return a, 0, errors.New("a piece of a photo says its size and offset in bytes")
	}
	return a, offset, nil
}

// code is the status of what became of a piece. What can be put right by sending
// again is a conflict.
func code(err error) int {
	var large *http.MaxBytesError
	switch {
	case err == nil:
		return http.StatusOK
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge
	case errors.Is(err, inbox.ErrElsewhere), errors.Is(err, inbox.ErrBusy), errors.Is(err, inbox.ErrOtherHash):
		return http.StatusConflict
	case errors.Is(err, inbox.ErrTooMuch), errors.Is(err, syscall.ENOSPC):
		return http.StatusInsufficientStorage
	}
	return http.StatusInternalServerError
}

func answer(w http.ResponseWriter, code int, a Answer) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	_ = json.NewEncoder(w).Encode(a) // the browser may have left
}
