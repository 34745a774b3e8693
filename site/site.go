// Package site holds what a reader of the pages gets, as files: a folder for
// each kind of page with its template, style and script, shared/ for what
// several use, and the fonts with their licenses. drawn/ has the same letters as
// stills and films are drawn with; no page carries them. Package render fills the
// templates; nothing here is generated.
package site

import "embed"

// Files are all of them, named folder/file.
//
//go:embed all:shared all:home all:build all:book all:paper all:sheet all:compare all:flick all:pace all:skill
//go:embed all:diary all:forecast all:mistakes all:trials all:search all:sort all:help
//go:embed all:bench all:past all:start all:fonts all:drawn all:words
var Files embed.FS
