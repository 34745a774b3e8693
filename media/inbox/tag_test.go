// Where photos belong, and that each tag says why.

package inbox

import (
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
	"rakelight/media"
)

func TestTag(t *testing.T) {
	at := func(hour, minute int) time.Time { return time.Date(2026, 3, 14, hour, minute, 0, 0, time.UTC) }
	stages := []journal.Stage{{ID: "clean", Kind: "clean"}, {ID: "paint", Kind: "paint"}, {ID: "hull", Title: "Hull", Kind: "seam"}, {ID: "dry", Kind: "wait"}}
	session := func(build, stage string, start, end time.Time) *journal.Session {
		return &journal.Session{Build: build, Stage: stage, Kind: stage, Start: start, End: end, Known: journal.Measured, Date: "2026-03-14"}
	}
	open := session("pilot-boat", "paint", at(21, 0), time.Time{})
	open.Open = true
	doubtful := session("pilot-boat", "paint", at(2, 0), at(4, 0))
	doubtful.Doubt = reason.LengthDoubt{Is: reason.RanLong}
	curing := session("pilot-boat", "dry", at(4, 0), at(6, 0))
	curing.Kind = "wait"
	remembered := session("pilot-boat", "paint", at(0, 0), at(1, 0))
	remembered.Known = journal.Remembered
	withKit := session("mail-seaplane", "paint", at(12, 0), at(13, 0))
	withKit.Kit = 2
	s := &journal.State{
		Zone: time.UTC,
		Builds: []*journal.Build{
			{ID: "pilot-boat", Title: "Harbour pilot boat", Stages: stages},
			{ID: "mail-seaplane", Title: "Mail seaplane", Stages: stages, Kits: make([]journal.Kit, 2)},
		},
		Sessions: []*journal.Session{
			remembered, doubtful, curing, session("pilot-boat", "clean", at(9, 0), at(10, 0)), withKit,
			session("pilot-boat", "clean", at(15, 0), at(17, 0)), session("mail-seaplane", "paint", at(16, 0), at(17, 0)), open,
		},
	}
	for _, c := range []struct {
		name, folder string
		keywords     []string
		at           time.Time
		doubt        string
		want         journal.Tags
		guess        bool
		why          string // tag: part of its reason
	}{
		{name: "folders", folder: "mail-seaplane/clean/before/left/raking", at: at(9, 30), want: journal.Tags{Build: "mail-seaplane", Stage: "clean", Role: "before", View: "left", Light: "raking"}, why: "stage: folder clean"},
		{name: "title and kind", folder: "Harbour Pilot Boat/seam", want: journal.Tags{Build: "pilot-boat", Stage: "hull"}, why: "build: folder Harbour Pilot Boat"},
		{name: "role word alone", folder: "after", at: at(9, 30), want: journal.Tags{Build: "pilot-boat", Stage: "clean", Role: "after"}, why: "role: folder after"},
		{name: "kit folder", folder: "mail-seaplane/kit 2/clean", want: journal.Tags{Build: "mail-seaplane", Kit: 2, Stage: "clean"}, why: "kit: folder kit 2"},
		{name: "keyword", keywords: []string{"harbour", "pilot-boat", "paint"}, want: journal.Tags{Build: "pilot-boat", Stage: "paint"}, why: "build: keyword pilot-boat"},
		{name: "folder before keyword", folder: "mail-seaplane/clean", keywords: []string{"pilot-boat", "paint"}, want: journal.Tags{Build: "mail-seaplane", Stage: "clean"}, why: "build: folder"},
		{name: "session covers", at: at(9, 59), want: journal.Tags{Build: "pilot-boat", Stage: "clean"}, why: "stage: during the session on pilot-boat/clean, 2026-03-14 09:00"},
		{name: "session with kit", at: at(12, 30), want: journal.Tags{Build: "mail-seaplane", Kit: 2, Stage: "paint"}, why: "kit: during"},
		{name: "folder names the stage, session the build", folder: "hull", at: at(9, 30), want: journal.Tags{Build: "pilot-boat", Stage: "hull"}, why: "stage: folder hull"},
		{name: "open session", at: at(22, 0), want: journal.Tags{Build: "pilot-boat", Stage: "paint"}, why: "stage: during"},
		{name: "two sessions", at: at(16, 30), want: journal.Tags{Build: "mail-seaplane", Stage: "paint"}, guess: true, why: "build: a guess: 2 sessions"},
		{name: "two sessions, one of the folder's build", folder: "pilot-boat", at: at(16, 30), want: journal.Tags{Build: "pilot-boat", Stage: "clean"}, why: "stage: during"},
		{name: "nearest after", at: at(10, 25), want: journal.Tags{Build: "pilot-boat", Stage: "clean"}, guess: true, why: "build: a guess: 25 min after"},
		{name: "nearest before", at: at(11, 50), want: journal.Tags{Build: "mail-seaplane", Kit: 2, Stage: "paint"}, guess: true, why: "build: before the session"},
		{name: "two equally near: the one that began first", at: at(19, 0).Add(-time.Second), want: journal.Tags{Build: "pilot-boat", Stage: "clean"}, guess: true, why: "build: a guess"},
		{name: "just near enough", at: at(7, 0), want: journal.Tags{Build: "pilot-boat", Stage: "clean"}, guess: true, why: "build: a guess: 2 h before"},
		{name: "none near", at: at(7, 0).Add(-time.Second), want: journal.Tags{}, why: "build: no session lies within 2 h"},
		{name: "in doubt", at: at(9, 30), doubt: "the hour came twice that night", want: journal.Tags{}, why: "build: time is in doubt"},
		{name: "wait, doubt and remembered do not cover", at: at(0, 30), want: journal.Tags{}, why: "build: to sort"},
		{name: "unknown folder", folder: "holiday", at: at(5, 0).AddDate(0, 1, 0), want: journal.Tags{}, why: "build: to sort"},
	} {
		t.Run(c.name, func(t *testing.T) {
			instant := journal.Instant{At: c.at, Source: "DateTimeOriginal", Doubts: reason.DoubtsOf(c.doubt)}
			tags, why, guess := Tag(media.Facts{Keywords: c.keywords}, instant, c.folder, s)
			if tags.Build != c.want.Build || tags.Kit != c.want.Kit || tags.Stage != c.want.Stage || tags.Role != c.want.Role ||
				tags.View != c.want.View || tags.Light != c.want.Light || guess != c.guess {
				t.Errorf("tags %+v, guess %v, why %v", tags, guess, why)
			}
			name, part, _ := strings.Cut(c.why, ": ")
			if !strings.Contains(wording.Why(why[name]), part) {
				t.Errorf("why %s is %q, want %q in it", name, wording.Why(why[name]), part)
			}
			for name, value := range map[string]string{"build": tags.Build, "stage": tags.Stage, "role": tags.Role, "view": tags.View, "light": tags.Light} {
				if value != "" && !why[name].Any() {
					t.Errorf("no reason for %s", name)
				}
			}
		})
	}
	// A file's own time is never a reason for a session.
	tags, _, _ := Tag(media.Facts{}, journal.Instant{At: at(9, 30), Source: "file time"}, "", s)
	if tags.Build != "" {
		t.Errorf("by file time: %+v", tags)
	}
	// The settle time is the journal's own.
	s.Config.Settle = "10m"
	tags, _, _ = Tag(media.Facts{}, journal.Instant{At: at(10, 25), Source: "DateTimeOriginal"}, "", s)
	if tags.Build != "" {
		t.Errorf("beyond the settle time: %+v", tags)
	}
}
