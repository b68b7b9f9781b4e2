// Command client tries the API as somebody else's program does: through a client that a kept generator has made from the
// description (scripts/client.sh makes it and runs this against a server).
//
//	client ADDRESS ROOF.yaml PLAN.json
//
// It makes a job of the roof file, keeps a change, meets a conflict, joins, and fetches the papers. The plan of the first state is
// PLAN.json, as the command line made it of the same file.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml"

	"gelwright/tools/client/api"
)

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "client ADDRESS ROOF.yaml PLAN.json")
		os.Exit(2)
	}
	if err := run(context.Background(), os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, "client:", err)
		os.Exit(1)
	}
	fmt.Println("a client made from the description has made a job, met a conflict, joined it and fetched the papers")
}

func run(ctx context.Context, address, roofFile, planFile string) error {
	text, err := os.ReadFile(roofFile)
	if err != nil {
		return err
	}
	raw, err := yaml.YAMLToJSON(text)
	if err != nil {
		return err
	}
	c, err := api.NewClientWithResponses(strings.TrimSuffix(address, "/"))
	if err != nil {
		return err
	}
	roof := func(changes map[string]any) api.Document {
		out := map[string]any{}
		if err := json.Unmarshal(raw, &out); err != nil {
			panic(err) // it was made from YAML just now
		}
		maps.Copy(out, changes)
		return api.Document{Roof: out}
	}
	who, key := "the client", "once"
	made, err := c.NewJobWithResponse(ctx, &api.NewJobParams{IdempotencyKey: &key}, api.NewJob{Who: &who,
		State: api.GivenState{Document: roof(nil)}})
	if err != nil || made.JSON201 == nil {
		return fmt.Errorf("making a job: %w %s", err, made.Body)
	}
	again, err := c.NewJobWithResponse(ctx, &api.NewJobParams{IdempotencyKey: &key}, api.NewJob{Who: &who,
		State: api.GivenState{Document: roof(nil)}})
	if err != nil || again.JSON201 == nil || *again.JSON201 != *made.JSON201 {
		return fmt.Errorf("the same question with the same key: %w %s", err, again.Body)
	}
	id, tag := made.JSON201.Id, `"1"`
	change := func(key string, d api.Document) (*api.NewStateResponse, error) {
		return c.NewStateWithResponse(ctx, id, &api.NewStateParams{IfMatch: &tag, IdempotencyKey: &key},
			api.NewStateAskedBody{Who: &who, Document: d})
	}
	first, err := change("first", roof(map[string]any{"reference": "FR-01 B"}))
	if err != nil || first.JSON201 == nil || first.JSON201.Seq != 2 {
		return fmt.Errorf("keeping a change: %w %s", err, first.Body)
	}
	mine := roof(map[string]any{"client": "C. Cedar"})
	late, err := change("second", mine)
	if err != nil || late.HTTPResponse.StatusCode != 412 || late.ApplicationproblemJSONDefault == nil ||
		late.ApplicationproblemJSONDefault.Code != "conflict" || late.ApplicationproblemJSONDefault.Newest.Seq != 2 {
		return fmt.Errorf("a change that comes second: %w %s", err, late.Body)
	}
	joined, err := c.JoinWithResponse(ctx, id, &api.JoinParams{IdempotencyKey: &key}, api.JoinOrder{BasedOn: 1, Who: &who, Document: mine})
	if err != nil || joined.JSON201 == nil || !joined.JSON201.Kept || joined.JSON201.Seq != 3 ||
		joined.JSON201.Document.Roof["reference"] != "FR-01 B" || joined.JSON201.Document.Roof["client"] != "C. Cedar" {
		return fmt.Errorf("joining: %w %s", err, joined.Body)
	}
	return papers(ctx, c, id, planFile)
}

// papers fetches papers: the site book of the newest state, and the plan of the first, whose figures are those of the command line.
func papers(ctx context.Context, c *api.ClientWithResponses, id, planFile string) error {
	list, err := c.ListPapersWithResponse(ctx, id, &api.ListPapersParams{})
	if err != nil || list.JSON200 == nil || list.JSON200.Total < 30 || list.JSON200.Seq != 3 {
		return fmt.Errorf("listing papers: %w %.300s", err, list.Body)
	}
	book, err := c.PaperWithResponse(ctx, id, "site.pdf", &api.PaperParams{})
	if err != nil || !bytes.HasPrefix(book.Body, []byte("%PDF")) {
		return fmt.Errorf("the site book: %w %.300s", err, book.Body)
	}
	drawings := 0
	for _, p := range list.JSON200.Papers {
		if !strings.HasPrefix(p.Name, "drawings/") {
			continue
		}
		drawing, err := c.PaperWithResponse(ctx, id, p.Name, &api.PaperParams{})
		if err != nil || int64(len(drawing.Body)) != p.Bytes {
			return fmt.Errorf("%s: %w %.300s", p.Name, err, drawing.Body)
		}
		drawings++
	}
	if drawings == 0 {
		return errors.New("no drawing is listed")
	}
	plan, err := c.PaperOfStateWithResponse(ctx, id, 1, "plan.json", &api.PaperOfStateParams{})
	if err != nil {
		return err
	}
	want, err := os.ReadFile(planFile)
	if err != nil {
		return err
	}
	var a, b struct {
		Totals map[string]any `json:"totals"`
	}
	if err := errors.Join(json.Unmarshal(plan.Body, &a), json.Unmarshal(want, &b)); err != nil {
		return fmt.Errorf("the plan: %w", err)
	}
	if len(a.Totals) == 0 || !reflect.DeepEqual(a, b) {
		return fmt.Errorf("the figures are %v, those of the command line %v", a.Totals, b.Totals)
	}
	return nil
}
