package guard

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"testing"
)

// Pages are turned to while others are open: those go on knowing their form token,
// and the policy is that of the pages that answer.
func TestTurn(t *testing.T) {
	form := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, Form(r)) })
	g := newGate("one", "no-store", nil, form)
	g.secret.make()
	s := &Server{gate: g}
	ask := func() (form, policy string) {
		r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1/", nil)
		r.RemoteAddr = "127.0.0.1:4000"
		w := httptest.NewRecorder()
		g.ServeHTTP(w, r)
		return w.Body.String(), w.Header().Get("Content-Security-Policy")
	}
	before, one := ask()
	s.Turn("two", "no-cache", form)
	after, two := ask()
	if before == "" || before != after || one != "one" || two != "two" {
		t.Errorf("before %q by %q, after %q by %q", before, one, after, two)
	}
}
