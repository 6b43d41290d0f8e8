package explain_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"patchfirst/explain"
)

const mostWords = 25

// banned are words that a homeowner need not know, or that promise what nobody can.
var banned = regexp.MustCompile(`(?i)\b(utili[sz]e|leverage|facilitate|optimal|robust|comprehensive|ensure|in order to|prior to|subsequent|commence|perfectly safe|completely safe|totally safe|is safe|is legal|guarantee[ds]?|substratum|methodology|aforementioned|e\.g\.|i\.e\.|etc\.)`)

var sentenceEnd = regexp.MustCompile(`[.!?;:]["')]*\s+`)

func checkWords(t *testing.T, where, text string) {
	t.Helper()
	for _, sentence := range sentenceEnd.Split(strings.Join(strings.Fields(text), " "), -1) {
		if n := len(strings.Fields(sentence)); n > mostWords {
			t.Errorf("%s: a sentence of %d words: %s", where, n, sentence)
		}
	}
	if word := banned.FindString(text); word != "" {
		t.Errorf("%s: the word %q: %s", where, word, text)
	}
}

// Every text of the base is in short plain sentences.
func TestWordsOfTheBase(t *testing.T) {
	b, _ := example(t)
	for _, f := range b.Facts {
		where := fmt.Sprintf("%s: fact %s", f.Pos, f.ID)
		for _, text := range []string{f.Ask, f.Why, f.FindOut} {
			checkWords(t, where, text)
		}
		for _, v := range f.Values {
			checkWords(t, where, v.Label)
		}
	}
	for _, f := range b.Findings {
		checkWords(t, f.Pos.String(), f.Label)
	}
	for _, m := range b.Methods {
		for _, text := range []string{m.Label, m.About, m.AlwaysRefused} {
			checkWords(t, m.Pos.String(), text)
		}
	}
	for _, r := range b.Rules {
		checkWords(t, r.Pos.String(), r.Because)
	}
	for _, n := range b.Notes {
		for _, text := range []string{n.Say, n.Do, n.Meanwhile} {
			checkWords(t, n.Pos.String(), text)
		}
	}
	for _, l := range b.Limits {
		checkWords(t, l.Pos.String(), l.Because)
		checkWords(t, l.Pos.String(), l.Say)
		checkWords(t, l.Pos.String(), l.Needs)
	}
	for _, c := range b.Constraints {
		checkWords(t, c.Pos.String(), c.Because)
	}
	for _, term := range b.Terms {
		checkWords(t, term.Pos.String(), term.Say)
	}
	for _, c := range b.Coefficients {
		checkWords(t, c.Pos.String(), c.Say)
	}
	checkWords(t, "the limits of the advice", explain.Limits)
}
