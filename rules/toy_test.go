package rules_test

import (
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// The toy base decides how to cross a river. It is small enough for every case to be written out, and has something of
// everything that a base can hold.
var toyFiles = map[string]string{
	"base.yaml": `
- version: "1"
- {source: atlas, body: River Society, read: text}
`[1:],
	"facts.yaml": `
- fact: bank
  scope: site
  ask: What is the bank made of?
  type: choice
  values: {mud: mud, rock: rock, sand: sand}
  blank: refuses
- fact: width
  scope: site
  ask: How wide is the river?
  type: number
  unit: m
  from: 0
  to: 50
  blank: refuses
- fact: load
  scope: element
  ask: What is carried, from the front to the back?
  type: several
  most: 2
  order: front_to_back
  first: front_load
  last: back_load
  at_least_when: bank == "mud"
  values: {goat: a goat, drum: a drum, glass: glass}
  blank: refuses
- fact: wind
  scope: site
  ask: How strong is the wind?
  type: choice
  values: {calm: calm, breeze: breeze, gale: gale}
  blank: condition
  change: arrange
- fact: watchman
  scope: site
  ask: Does someone watch?
  type: yesno
  blank: condition
  change: arrange
- fact: ice
  scope: site
  applies: bank in soft_banks
  else: thin
  ask: Has the ice been tested?
  type: choice
  values: {not_tested: not yet, thick: thick, thin: thin}
  blank: not_tested
  change: test
- fact: bridge_state
  scope: site
  applies: bank != "mud"
  else: none
  ask: Is there a bridge?
  type: choice
  values: {whole: whole, cracked: cracked, none: none}
  blank: refuses
- group: soft_banks
  of: bank
  is: [mud, sand]
- group: wet
  of: method
  is: [ford, swim]
- finding: danger
  label: danger
  scale: [none, some, great]
- finding: alarm
  label: alarm
  scale: [none, raised]
`[1:],
	"methods.yaml": `
- {method: wait, label: wait for the ferry day, keeps: true, sources: [common practice]}
- {method: ford, label: wade through, sources: [common practice]}
- {method: swim, label: swim, sources: [common practice]}
- {method: rope, label: pull across on a rope, sources: [common practice]}
- {method: boat, label: row, sources: [common practice]}
- {method: bridge, label: walk over the bridge, sources: [atlas]}
- {method: skate, label: cross on the ice, sources: [common practice]}
- {method: catapult, label: be thrown across, always_refused: Nobody lands well., sources: [common practice]}
- {method: ferryman, label: call the ferryman, keeps: true, last_resort: true, sources: [common practice]}
- {caution: wet_feet, gravity: care, say: Feet get wet., do: Dry them., sources: [common practice]}
- {caution: undertow, gravity: danger, say: There may be an undertow., do: Look first., sources: [common practice]}
- {step: tie_the_goat, stage: protect, say: Tie the goat., sources: [common practice]}
- {step: lash, stage: protect, say: Lash it down., sources: [common practice]}
- {hold: look_upstream, stage: before, say: Look upstream., sources: [common practice]}
- {refer: ask_the_warden, say: Ask the warden., meanwhile: Stay back., sources: [common practice]}
`[1:],
	"rules-danger.yaml": `
- rule: wide-is-some-danger
  when: width >= 10
  raise: {danger: some}
  because: One tires.
  sources: [atlas]
- rule: gale-on-wide-is-great-danger
  when: width >= 10 && wind == "gale"
  raise: {danger: great}
  because: Waves.
  sources: [atlas]
- rule: thin-ice-is-some-danger
  when: ice == "thin" && bank in soft_banks
  raise: {danger: some}
  because: It breaks.
  sources: [common practice]
- rule: goat-alarm
  when: '"goat" in load && danger >= "some"'
  raise: {alarm: raised}
  because: The goat bleats.
  sources: [common practice]
- rule: great-danger-alarm
  when: danger == "great" && !(watchman == "yes")
  raise: {alarm: raised}
  because: Nobody sees it.
  sources: [common practice]
`[1:],
	"rules-refuse.yaml": `
- rule: no-wet-crossing-in-great-danger
  when: danger > "some"
  rule_out: [wet, boat]
  because: Nobody comes back.
  sources: [common practice]
- rule: no-swim-when-wide
  when: width > 30 || alarm != "none" && watchman == "no"
  rule_out: [swim]
  because: It is too far.
  sources: [common practice]
- rule: no-ford-with-drum-ahead
  when: front_load == "drum" || width > 30
  rule_out: [ford]
  because: The drum floats off.
  sources: [common practice]
- rule: no-boat-with-glass-behind
  when: back_load == "glass" && wind != "calm"
  rule_out: [boat]
  because: It slides.
  sources: [common practice]
- rule: no-bridge-there
  when: bridge_state == "none" || bridge_state == "cracked" && "drum" in load
  rule_out: [bridge]
  because: There is nothing to walk on.
  sources: [common practice]
- rule: no-skate-unless-tested
  when: ice != "thick"
  rule_out: [skate]
  because: Ice is tested first.
  sources: [common practice]
- rule: no-rope-unwatched
  when: watchman == "no" && width >= 10 || wind == "gale" && bank not in ["rock"]
  rule_out: [rope]
  because: Someone holds the other end.
  sources: [common practice]
- rule: no-wait-with-goat
  when: '"goat" in load && !("drum" in load) && front_load != "glass"'
  rule_out: [wait]
  because: It eats everything.
  sources: [common practice]
- rule: no-wait-where-nobody-calls
  when: bank != "rock" && (width >= 10 || bridge_state != "whole")
  rule_out: [wait]
  because: The ferry stops at rocks, and in sight of bridges where it is narrow.
  sources: [common practice]
`[1:],
	"rules-prefer.yaml": `
- rule: ford-is-good-when-narrow
  when: 10 > width && bank != "rock"
  favour: [ford]
  because: It is shallow.
  sources: [common practice]
- rule: bridge-is-good-when-whole
  when: bridge_state == "whole"
  favour: [bridge]
  because: It stands there.
  sources: [common practice]
- rule: skate-is-good-on-thick-ice
  when: ice == "thick" && back_load != "drum"
  favour: [skate]
  because: It is quick.
  sources: [common practice]
- rule: waiting-is-dull
  when: wind == "calm" || alarm == "none"
  discourage: [wait]
  because: It takes days.
  sources: [common practice]
- rule: swim-with-load
  when: '"drum" in load || "glass" in load'
  discourage: [swim]
  no_use: [rope]
  because: It is heavy.
  sources: [common practice]
`[1:],
	"rules-notes.yaml": `
- rule: feet
  caution: wet_feet
  with: [wet]
  because: It is a river.
  sources: [common practice]
- rule: undertow-in-danger
  when: danger >= "some"
  caution: undertow
  with: [wet, boat]
  because: It pulls.
  sources: [common practice]
- rule: undertow-where-wide
  when: width <= 30 && width >= 10
  caution: [undertow]
  hold: look_upstream
  because: It pulls.
  sources: [common practice]
- rule: goat-is-tied
  when: '"goat" in load'
  step: [tie_the_goat]
  with: [boat, bridge, rope]
  because: It jumps.
  sources: [common practice]
- rule: lash-in-wind
  when: wind in ["breeze", "gale"] && front_load not in ["none"]
  step: [lash]
  with: [boat]
  because: It blows off.
  sources: [common practice]
- rule: warden
  when: alarm == "raised"
  refer: [ask_the_warden]
  because: The warden knows.
  sources: [common practice]
`[1:],
	"truths.yaml": `
- constraint: no-whole-bridge-so-wide
  never: width > 30 && bridge_state == "whole"
  because: No one built one so long.
  sources: [common practice]
- constraint: nobody-watches-in-a-gale
  never: wind == "gale" && watchman == "yes"
  because: The watchman goes home.
  sources: [common practice]
- constraint: goat-never-before-glass
  never: front_load == "goat" && "glass" in load
  because: It kicks.
  sources: [common practice]
- promise: catapult-never
  never_offered: [catapult]
  because: Nobody lands well.
  sources: [common practice]
- promise: wet-feet-are-told
  always_with: [wet]
  caution: wet_feet
  because: It is a river.
  sources: [common practice]
- promise: swim-not-first-with-drum
  when: '"drum" in load'
  never_first: [swim]
  because: It is heavy.
  sources: [common practice]
`[1:],
	"tables.yaml": `
- table: footing
  ranks: true
  rows: bank
  columns: method
  values: {harms: rule_out, care: caution, safe: nothing}
  cells:
    - {cell: anything, rows: [mud, rock, sand], columns: [wait, ford, swim, rope, boat, bridge, skate, catapult, ferryman], is: safe, because: It holds., sources: [common practice]}
    - {cell: boat-in-mud, rows: [mud], columns: [boat], is: harms, because: It sticks., sources: [common practice]}
    - {cell: slippery, rows: [rock, mud], columns: [wet], is: care, because: It is slippery., do: Go slowly., sources: [common practice]}
    - {cell: bridge-on-sand, rows: [sand], columns: [bridge], is: care, because: It sinks., do: Tread softly., sources: [common practice]}
- table: carries
  rows: load
  columns: method
  values: {none: no_use, tied: lash, yes: nothing}
  cells:
    - {cell: most, rows: [goat, drum, glass], columns: [wait, ford, swim, rope, boat, bridge, skate, catapult, ferryman], is: "yes", because: It goes., sources: [common practice]}
    - {cell: goat-on-rope, rows: [goat], columns: [rope, skate], is: none, because: It will not., sources: [common practice]}
    - {cell: glass-in-water, rows: [glass], columns: [wet], is: none, because: It is lost., sources: [common practice]}
    - {cell: drum-over, rows: [drum], columns: [boat, bridge], is: tied, because: It rolls., sources: [common practice]}
- stages: load
  table: carries
  takes: ["yes", tied]
  not_after:
    - {after: [wet], bar: [skate], because: Wet feet freeze., sources: [common practice]}
`[1:],
}

// loadToy reads the toy base from its files, some of them replaced.
func loadToy(t testing.TB, replace map[string]string) *rules.Base {
	t.Helper()
	fsys := fstest.MapFS{}
	for name, text := range toyFiles {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	for name, text := range replace {
		if text == "" {
			delete(fsys, name)
			continue
		}
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	b, err := source.Base(fsys, "toy", nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
