// Why a request gets no answer, as a plain page and for scripts.

package guard

import (
	"fmt"
	"net/http"
)

// Refused is the header of an answer that says for scripts why a request was
// refused: "method", "host", "origin", "device" (it is not let in, or no longer),
// "form" (the page is of an earlier run: load it again), "body" (too large),
// "unread" (it broke off), "rate" (wait as long as Retry-After says).
const Refused = "X-Refused"

type refusal struct {
	code int
	why  string // of Refused
	what string // for the person
	then string // what helps
}

var (
	errMethod = &refusal{http.StatusMethodNotAllowed, "method", "This is not a way to ask these pages.",
		"They are read, and forms are sent to them."}
	errHost = &refusal{http.StatusForbidden, "host",
		"These pages are for this computer only, under its own address.",
		"Open the address that the terminal shows."}
	errOrigin = &refusal{http.StatusForbidden, "origin", "A page of another address asked for this. Nothing was written.",
		"Open the address that the terminal shows."}
	errDevice = &refusal{http.StatusUnauthorized, "device", "This device is not let in. Nothing was written.",
		"Open the page again and type the code that the terminal shows."}
	errForm = &refusal{http.StatusForbidden, "form", "This page is of an earlier run. Nothing was written.",
		"Load the page again and say it once more."}
	errLarge = &refusal{http.StatusRequestEntityTooLarge, "body",
		"That is more than is taken at once. Nothing was written.",
		"Send less."}
	errUnread = &refusal{http.StatusBadRequest, "unread", "What was sent broke off. Nothing was written.",
		"Send it again."}
	errRate = &refusal{http.StatusTooManyRequests, "rate", "That was more than can be answered at once.",
		"Wait a moment and load the page again."}
)

func (e *refusal) answer(w http.ResponseWriter) {
	h := w.Header()
	h.Set(Refused, e.why)
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	switch e {
	case errMethod:
		h.Set("Allow", "GET, HEAD, POST")
	case errRate:
		h.Set("Retry-After", "2")
	}
	w.WriteHeader(e.code)
	fmt.Fprintf(w, `<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Rakelight: not answered</title></head>
<body><h1>Not answered</h1><p>%s</p><p>%s</p></body></html>
`, e.what, e.then)
}

// toPairing leads a person who opens a page on a device that is not let in to where
// the code is typed; a script is told instead.
func toPairing(w http.ResponseWriter, r *http.Request) bool {
	mode := r.Header.Get("Sec-Fetch-Mode")
	if r.Method != http.MethodGet || mode != "" && mode != "navigate" || !acceptsPages(r) {
		return false
	}
	http.Redirect(w, r, pairPath, http.StatusSeeOther)
	return true
}
