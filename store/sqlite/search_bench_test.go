package sqlite

import (
	"context"
	"fmt"
	"testing"
	"time"

	"gelwright/office"
	"gelwright/store"
)

// BenchmarkTenThousandJobs tells how long a search and a page of the chart take among 10,000 jobs, a customer each:
// go test ./store/sqlite -run none -bench TenThousand. The first search, which brings 10,000 jobs into it, is told apart.
func BenchmarkTenThousandJobs(b *testing.B) {
	ctx := context.Background()
	db, err := Open(ctx, b.TempDir())
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	at := time.Date(2026, 5, 20, 7, 30, 0, 0, time.UTC)
	kinds := []string{"Garage", "Porch", "Dormer", "Bay window", "Kitchen"}
	const jobs = 10_000
	began := time.Now()
	for i := range jobs {
		id, customer := store.ID(fmt.Sprintf("%032x", i+1)), store.ID(fmt.Sprintf("%032x", 1_000_000+i))
		title := fmt.Sprintf("%s at number %d", kinds[i%len(kinds)], i)
		document := fmt.Appendf(nil, `{"roof":{"name":%q,"site":{"name":"Lane %d, Upper Mill"},"decks":[{"name":"main","edges":[{"condition":"drip"},
			{"condition":"kerb"},{"condition":"wall","note":"neighbour %d"}]}]}}`, title, i%700, i)
		if _, err := db.Create(ctx, store.NewJob{ID: id, First: store.NewState{Mark: store.Mark{ID: "s1", When: at, Who: "Asha", What: "drawn"},
			Title: title, Site: fmt.Sprintf("Lane %d, Upper Mill", i%700), Document: document}}); err != nil {
			b.Fatal(err)
		}
		put := func(id store.ID, s office.Sheet) {
			if _, err := db.Put(ctx, office.Change{ID: id, When: at, Who: "Asha", What: "begun", Sheet: s}); err != nil {
				b.Fatal(err)
			}
		}
		put(customer, office.Customer{Name: fmt.Sprintf("Customer Müller %d", i), Telephone: fmt.Sprintf("020 %04d", i)})
		put(id, office.Job{Stage: office.Way()[i%7], Customer: customer, Note: fmt.Sprintf("note %d", i%50)})
	}
	b.Logf("%d jobs made in %s", jobs, time.Since(began).Round(time.Second))
	began = time.Now()
	if _, err := db.Search(ctx, office.Question{Text: "garage"}); err != nil {
		b.Fatal(err)
	}
	b.Logf("brought into the search in %s", time.Since(began).Round(time.Second))
	for _, text := range []string{"garage", "muller 77", "mill", "number 4321", "lane 12 upper", "nothing"} {
		b.Run("search/"+text, func(b *testing.B) {
			for b.Loop() {
				if _, err := db.Search(ctx, office.Question{Text: text}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for _, ask := range []office.ChartAsk{{}, {Stage: office.Order}, {Text: "garage"}, {Text: "muller 77"}, {Page: 199}} {
		ask.Today = "2026-05-20"
		b.Run(fmt.Sprintf("chart/%s%s%d", ask.Stage, ask.Text, ask.Page), func(b *testing.B) {
			for b.Loop() {
				if _, err := db.Chart(ctx, ask); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
