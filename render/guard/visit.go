// Who asks, and the form token of their pages.

package guard

import (
	"context"
	"crypto/hmac"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"io"
	"mime"
	"net/http"
	"strings"
)

// FormField is the field of a form that holds the form token, FormHeader the header
// by which a script sends it.
const (
	FormField  = "form"
	FormHeader = "X-Form"
)

// asker is what kind of visitor asks.
type asker int

const (
	nobody asker = iota // it was not let in
	here                // this computer
	device              // one that was let in
)

// visit is what is known of a request. It goes with its context.
type visit struct {
	gate   *gate
	who    asker
	device PairedDevice
	all    io.ReadCloser // the body without a bound
	writer http.ResponseWriter
}

type visitKey struct{}

func visitOf(ctx context.Context) *visit {
	v, _ := ctx.Value(visitKey{}).(*visit)
	return v
}

// Form is the form token of the pages of whoever asks: it goes into each form (as
// FormField) and each post of a script (as FormHeader). It holds until the program
// ends or the device is no longer let in; a page from before is answered with
// Refused "form" and may ask for another. It is "" where no guard stands before.
func Form(r *http.Request) string {
	if v := visitOf(r.Context()); v != nil {
		return v.gate.secret.of(v)
	}
	return ""
}

// Device is the device that asks; false is this computer itself.
func Device(r *http.Request) (PairedDevice, bool) {
	if v := visitOf(r.Context()); v != nil && v.who == device {
		return v.device, true
	}
	return PairedDevice{}, false
}

// Still reports whether whoever began to ask would still be let in: an answer that
// goes on for hours asks now and then.
func Still(r *http.Request) bool {
	v := visitOf(r.Context())
	if v == nil || v.who == here {
		return true
	}
	now := visit{gate: v.gate}
	v.gate.identify(&now, r)
	return now.who == v.who
}

// identify finds who asks.
func (g *gate) identify(v *visit, r *http.Request) {
	if g.fromHere(r) {
		v.who = here
		return
	}
	if g.pairing == nil {
		return
	}
	if cookie, err := r.Cookie(cookieName(g.port)); err == nil {
		if d, ok := g.pairing.knows(cookie.Value); ok {
			v.who, v.device = device, d
		}
	}
}

// secret makes form tokens. It is of one run.
type secret [32]byte

func (s *secret) make() { _, _ = rand.Read(s[:]) } // it never fails

// of is the form token of a visitor: nobody else's.
func (s *secret) of(v *visit) string {
	sum := hmac.New(sha256.New, s[:])
	switch v.who {
	case here:
		_, _ = io.WriteString(sum, "here")
	case device:
		_, _ = io.WriteString(sum, "device "+v.device.ID)
	default:
		_, _ = io.WriteString(sum, "nobody")
	}
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil))
}

// checkForm looks for the form token of a post: in its header, or in a form of the
// plain kind. A body of any other kind has it in the header.
func (g *gate) checkForm(r *http.Request) *refusal {
	token := r.Header.Get(FormHeader)
	if token == "" && isForm(r) {
		if err := r.ParseForm(); err != nil {
			return unread(err)
		}
		token = r.PostForm.Get(FormField)
	}
	if !hmac.Equal([]byte(token), []byte(Form(r))) {
		return errForm
	}
	return nil
}

func isForm(r *http.Request) bool {
	kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	return err == nil && strings.EqualFold(kind, "application/x-www-form-urlencoded")
}

// unread is why a body could not be read.
func unread(err error) *refusal {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return errLarge
	}
	return errUnread
}
