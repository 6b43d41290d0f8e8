package paper

import (
	"encoding/json"
	"fmt"
	"io"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/job"
)

// Data writes data of the parts of a job as JSON, with the name of its form.
func Data(out io.Writer, schema, job string, elements any) error {
	enc := json.NewEncoder(out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(struct {
		Schema   string `json:"schema"`
		Job      string `json:"job"`
		Elements any    `json:"elements"`
	}{schema, job, elements})
}

// Recorded tells that an entry was written.
func Recorded(out io.Writer, k *job.Kept) error {
	_, err := fmt.Fprintf(out, "Recorded as entry %d of %s, at %s.\n", k.ID, explain.Clean(k.Element), k.At.Format(time.RFC3339))
	return err
}

// RecordedJSON tells it as data, with the name of its form.
func RecordedJSON(out io.Writer, schema string, k *job.Kept) error {
	return json.NewEncoder(out).Encode(struct {
		Schema string `json:"schema"`
		*job.Kept
	}{schema, k})
}
