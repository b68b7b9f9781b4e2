package web_test

import (
	"net/http"
	"strings"
	"testing"

	"gelwright/people"
)

// asksOf are a question for each row of the table and the status of its answer; JOB is a job that is there, BODY a body that is
// longer than that row reads.
var asksOf = map[string]struct {
	path, body string
	status     int
}{
	"GET /{name...}":                {"/nothing", "", 404},
	"GET /{$}":                      {"/", "", 200},
	"GET /api/me":                   {"/api/me", "", 200},
	"GET /v/{version}/{name...}":    {"/v/0/app.js", "", 404},
	"GET /healthz":                  {"/healthz", "", 200},
	"GET /favicon.ico":              {"/favicon.ico", "", 204},
	"GET /api/openapi.json":         {"/api/openapi.json", "", 200},
	"GET /api/tasks":                {"/api/tasks", "", 200},
	"GET /api/tasks/{task}":         {"/api/tasks/0123456789abcdef0123456789abcdef", "", 404},
	"POST /api/tasks/{task}/cancel": {"/api/tasks/0123456789abcdef0123456789abcdef/cancel", `{}`, 404},
	"POST /api/morning":             {"/api/morning", `{}`, 202},
	"GET /api/reminders":            {"/api/reminders", "", 200},
	"POST /api/jobs/{id}/papers":    {"/api/jobs/JOB/papers", `{}`, 202},
	"GET /api/jobs/{id}/weather":    {"/api/jobs/JOB/weather", "", 422},
	"POST /api/jobs/{id}/weather":   {"/api/jobs/JOB/weather", `{}`, 422},
	"POST /api/jobs/{id}/readings":  {"/api/jobs/JOB/readings", `{"name":"r.csv","csv":"x"}`, 422},
	"GET /api/version":              {"/api/version", "", 200},
	"GET /api/examples":             {"/api/examples", "", 200},
	"GET /api/examples/{name}":      {"/api/examples/r01-garage", "", 200},
	"GET /api/jobs":                 {"/api/jobs", "", 200},
	"POST /api/jobs":                {"/api/jobs", `{"title":"x","who":"y","state":{"id":"s","document":{"roof":{}}}}`, 201},
	"POST /api/jobs/import":         {"/api/jobs/import", "no zip", 422},
	"GET /api/jobs/{id}":            {"/api/jobs/JOB", "", 200},
	"POST /api/jobs/{id}/copy":      {"/api/jobs/JOB/copy", `{"title":"x"}`, 201},
	"POST /api/jobs/{id}/retire":    {"/api/jobs/JOB/retire", `{}`, 200},
	"GET /api/jobs/{id}/export":     {"/api/jobs/JOB/export", "", 200},
	"GET /api/jobs/{id}/states":     {"/api/jobs/JOB/states", "", 200},
	"POST /api/jobs/{id}/states":    {"/api/jobs/JOB/states", `{"id":"s2","based_on":1,"who":"y","document":{"roof":{}}}`, 201},
	"POST /api/jobs/{id}/join":      {"/api/jobs/JOB/join", `{"based_on":1,"document":{"roof":{}}}`, 200},
	"POST /api/jobs/{id}/restore":   {"/api/jobs/JOB/restore", `{"seq":1,"id":"s3","who":"y"}`, 201},
	"GET /api/jobs/{id}/files":      {"/api/jobs/JOB/files", "", 200},
	"GET /api/jobs/{id}/roof.yaml":  {"/api/jobs/JOB/roof.yaml", "", 200},
	"GET /api/jobs/{id}/papers":     {"/api/jobs/JOB/papers", "", 422},

	"GET /api/office/chart":                   {"/api/office/chart", ``, 200},
	"GET /api/office/find":                    {"/api/office/find?find=garage", ``, 200},
	"GET /api/office/calendar":                {"/api/office/calendar?week=2026-W20", ``, 200},
	"GET /api/office/week.pdf":                {"/api/office/week.pdf?week=2026-W20", "", 200},
	"GET /office.html":                        {"/office.html", "", 200},
	"GET /api/office/jobs/{id}/standing":      {"/api/office/jobs/JOB/standing", ``, 200},
	"GET /api/office/jobs/{id}/run":           {"/api/office/jobs/JOB/run?to=2026-05-12&days=2", ``, 200},
	"GET /api/office/standings":               {"/api/office/standings?jobs=JOB", ``, 200},
	"POST /api/office/jobs/{id}/stage":        {"/api/office/jobs/JOB/stage", `{"based_on":0,"stage":"survey"}`, 200},
	"GET /api/office/jobs/{id}":               {"/api/office/jobs/JOB", ``, 200},
	"GET /api/office/jobs/{id}/versions":      {"/api/office/jobs/JOB/versions", ``, 200},
	"PUT /api/office/jobs/{id}":               {"/api/office/jobs/JOB", `{"based_on":1,"sheet":{"stage":"order","why":"","reached":[],"customer":"","site":"","waits":[],"ordered":"","note":""}}`, 200},
	"GET /api/office/customers/{id}":          {"/api/office/customers/0000000000000000000000000000000a", ``, 404},
	"GET /api/office/customers/{id}/versions": {"/api/office/customers/0000000000000000000000000000000a/versions", ``, 404},
	"PUT /api/office/customers/{id}":          {"/api/office/customers/0000000000000000000000000000000a", `{"based_on":0,"sheet":{"name":"Ada","address":[],"telephone":"","mail":"","note":"","away":false}}`, 200},
	"GET /api/office/customers":               {"/api/office/customers", ``, 200},
	"GET /api/office/sites/{id}":              {"/api/office/sites/0000000000000000000000000000000a", ``, 404},
	"GET /api/office/sites/{id}/versions":     {"/api/office/sites/0000000000000000000000000000000a/versions", ``, 404},
	"PUT /api/office/sites/{id}":              {"/api/office/sites/0000000000000000000000000000000a", `{"based_on":0,"sheet":{"name":"Mill","address":[],"access":"","place":"","note":"","away":false}}`, 200},
	"GET /api/office/sites":                   {"/api/office/sites", ``, 200},
	"GET /api/office/crews/{id}":              {"/api/office/crews/0000000000000000000000000000000a", ``, 404},
	"GET /api/office/crews/{id}/versions":     {"/api/office/crews/0000000000000000000000000000000a/versions", ``, 404},
	"PUT /api/office/crews/{id}":              {"/api/office/crews/0000000000000000000000000000000a", `{"based_on":0,"sheet":{"name":"North","people":[],"mark":"N","note":"","away":false}}`, 200},
	"GET /api/office/crews":                   {"/api/office/crews", ``, 200},
	"GET /api/office/days/{id}":               {"/api/office/days/0000000000000000000000000000000a", ``, 404},
	"GET /api/office/days/{id}/versions":      {"/api/office/days/0000000000000000000000000000000a/versions", ``, 404},
	"PUT /api/office/days":                    {"/api/office/days", `{"days":[{"id":"0000000000000000000000000000000b","based_on":0,"sheet":{"job":"JOB","crew":"","date":"2026-05-13","part":"whole","note":"","off":false}}]}`, 200},
	"PUT /api/office/days/{id}":               {"/api/office/days/0000000000000000000000000000000a", `{"based_on":0,"sheet":{"job":"JOB","crew":"","date":"2026-05-12","part":"whole","note":"","off":false}}`, 200},
	"GET /api/office/days":                    {"/api/office/days", ``, 200},

	// 200 where the engine for browsers is in the program, 503 where it is not.
	"GET /api/jobs/{id}/onefile.html":                  {"/api/jobs/JOB/onefile.html", "", 0},
	"GET /api/jobs/{id}/alternatives":                  {"/api/jobs/JOB/alternatives", "", 200},
	"GET /api/jobs/{id}/states/{seq}":                  {"/api/jobs/JOB/states/1", "", 200},
	"GET /api/jobs/{id}/states/{seq}/papers/{name...}": {"/api/jobs/JOB/states/1/papers/site.pdf", "", 422},
	"GET /api/jobs/{id}/files/{name}":                  {"/api/jobs/JOB/files/x.csv", "", 404},
	"PUT /api/jobs/{id}/files/{name}":                  {"/api/jobs/JOB/files/y.csv", "a,b", 201},
	"GET /api/jobs/{id}/papers/{name...}":              {"/api/jobs/JOB/papers/drawings/01-plan.svg", "", 422},

	"GET /sign-in":                                  {"/sign-in", "", 200},
	"GET /invitation":                               {"/invitation", "", 200},
	"GET /first-owner":                              {"/first-owner", "", 200},
	"POST /api/first-owner":                         {"/api/first-owner", `{"secret":"x","sign_in":"y","name":"z","password":"v"}`, 401},
	"GET /customer":                                 {"/customer", "", 200},
	"GET /account":                                  {"/account", "", 200},
	"GET /people":                                   {"/people", "", 200},
	"GET /customers":                                {"/customers", "", 200},
	"GET /deeds":                                    {"/deeds", "", 200},
	"POST /api/sign-in":                             {"/api/sign-in", `{"sign_in":"x","password":"y"}`, 401},
	"POST /api/sign-in/passkey/begin":               {"/api/sign-in/passkey/begin", "", 400},
	"POST /api/sign-in/passkey":                     {"/api/sign-in/passkey", `{"secret":"x","answer":{}}`, 400},
	"POST /api/sign-out":                            {"/api/sign-out", "", 200},
	"POST /api/invitation":                          {"/api/invitation", `{"secret":"x"}`, 401},
	"POST /api/invitation/accept":                   {"/api/invitation/accept", `{"secret":"x","password":"y"}`, 401},
	"POST /api/account/password":                    {"/api/account/password", `{"old":"x","password":"y"}`, 404},
	"GET /api/account/sessions":                     {"/api/account/sessions", "", 404},
	"POST /api/account/sessions/end":                {"/api/account/sessions/end", "", 404},
	"POST /api/account/sessions/{pass}/end":         {"/api/account/sessions/x/end", "", 404},
	"GET /api/account/tokens":                       {"/api/account/tokens", "", 404},
	"POST /api/account/tokens":                      {"/api/account/tokens", `{"name":"x","role":"crew","ends":"2026-06-01T00:00:00Z"}`, 404},
	"POST /api/account/tokens/{pass}/end":           {"/api/account/tokens/x/end", "", 404},
	"GET /api/account/passkeys":                     {"/api/account/passkeys", "", 404},
	"POST /api/account/passkeys/begin":              {"/api/account/passkeys/begin", "", 404},
	"POST /api/account/passkeys":                    {"/api/account/passkeys", `{"secret":"x","answer":{},"name":"x"}`, 404},
	"POST /api/account/passkeys/{passkey}/end":      {"/api/account/passkeys/x/end", "", 404},
	"GET /api/people":                               {"/api/people", "", 200},
	"POST /api/people":                              {"/api/people", `{"sign_in":"dee","name":"Dee","role":"crew"}`, 201},
	"POST /api/people/{person}/invite":              {"/api/people/x/invite", "", 404},
	"POST /api/people/{person}/role":                {"/api/people/x/role", `{"role":"crew"}`, 404},
	"POST /api/people/{person}/end":                 {"/api/people/x/end", "", 404},
	"GET /api/people/{person}/sessions":             {"/api/people/x/sessions", "", 404},
	"POST /api/people/{person}/sessions/{pass}/end": {"/api/people/x/sessions/y/end", "", 404},
	"GET /api/deeds":                                {"/api/deeds", "", 200},
	"GET /api/jobs/{id}/links":                      {"/api/jobs/JOB/links", "", 200},
	"POST /api/jobs/{id}/links":                     {"/api/jobs/JOB/links", `{"name":"x","ends":"2026-06-01T00:00:00Z"}`, 201},
	"POST /api/jobs/{id}/links/{link}/end":          {"/api/jobs/JOB/links/x/end", "", 404},
	"GET /api/jobs/{id}/shown":                      {"/api/jobs/JOB/shown", "", 200},
	"POST /api/jobs/{id}/files/{name}/shown":        {"/api/jobs/JOB/files/x.jpg/shown", `{"shown":true}`, 404},
	"POST /api/customer":                            {"/api/customer", `{"secret":"x"}`, 401},
	"GET /api/customer":                             {"/api/customer", "", 404},
	"GET /api/customer/papers/{name}":               {"/api/customer/papers/care.pdf", "", 404},
	"GET /api/customer/photos/{name}":               {"/api/customer/photos/x.jpg", "", 404},
}

// Each row of the table says who may ask and what it changes, is asked, and refuses other sites, other names, other methods,
// bodies that are too long, and jobs that are not there.
func TestEveryRouteIsAsked(t *testing.T) {
	s := serve(t)
	job := s.job("Garage", `{}`).ID
	rows := s.Table()
	seen := map[string]bool{}
	for _, row := range rows {
		name := row.Method + " " + row.Pattern
		seen[name] = true
		q, there := asksOf[name]
		if !there {
			t.Errorf("%s is asked by no test: give it a question", name)
			continue
		}
		if !row.Who.Known() {
			t.Errorf("%s does not say who may ask", name)
		}
		if row.Changes == (row.Method == "GET") || !row.Changes && row.MostBytes > 0 {
			t.Errorf("%s changes something: %v; its body may have %d bytes", name, row.Changes, row.MostBytes)
		}
		path := strings.ReplaceAll(q.path, "JOB", job)
		q.body = strings.ReplaceAll(q.body, "JOB", job)
		asked := func(method, body string, heads ...string) got {
			if row.Pattern == "/api/jobs/{id}/files/{name}" || row.Pattern == "/api/jobs/import" {
				heads = append([]string{"Content-Type: text/csv"}, heads...)
			}
			return s.do(ask{method: method, path: path, body: body, heads: heads})
		}
		g := asked(row.Method, q.body)
		if either := q.status == 0 && (g.status == 200 || g.status == 503); g.status != q.status && !either {
			t.Errorf("%s: %d %.300s, want %d", name, g.status, g.body, q.status)
		}
		s.refusedAs(asked(row.Method, q.body, "Host: roofs.example"), http.StatusMisdirectedRequest, "host")
		if strings.HasPrefix(path, "/api/") {
			s.refusedAs(asked(row.Method, q.body, "Sec-Fetch-Site: cross-site"), http.StatusForbidden, "origin")
		}
		s.refusedAs(asked("DELETE", ""), http.StatusMethodNotAllowed, "method")
		if row.Who == people.SeeOwnJob {
			continue // it comes with accounts alone
		}
		if row.MostBytes == 0 {
			s.refusedAs(asked(row.Method, "a body"), http.StatusRequestEntityTooLarge, "large")
		} else if row.MostBytes < 64<<20 {
			s.refusedAs(asked(row.Method, `{"title":"`+strings.Repeat("x", int(row.MostBytes))), http.StatusRequestEntityTooLarge, "large")
		}
		if strings.Contains(q.path, "JOB") {
			for _, id := range []string{"00000000000000000000000000000000", "1", "..%2F..%2Fx", "%00", strings.Repeat("a", 3000)} {
				path = strings.ReplaceAll(q.path, "JOB", id)
				if g := asked(row.Method, q.body); g.status != http.StatusNotFound && g.status != http.StatusBadRequest {
					t.Errorf("%s of job %.40q: %d %.200s", name, id, g.status, g.body)
				}
			}
		}
	}
	for name := range asksOf {
		if !seen[name] {
			t.Errorf("%s is asked and is no route", name)
		}
	}
}
