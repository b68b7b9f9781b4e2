package people

import "strings"

// DeviceOf says in words which browser and system a User-Agent tells of: "Firefox on Android". It is for people to know their own
// devices by; nothing is decided by it.
func DeviceOf(agent string) string {
	browser := firstIn(agent, "another browser", [][2]string{{"Edg", "Edge"}, {"OPR/", "Opera"}, {"Firefox/", "Firefox"}, {"FxiOS", "Firefox"},
		{"CriOS", "Chrome"}, {"Chrome/", "Chrome"}, {"Safari/", "Safari"}, {"curl/", "curl"}, {"Go-http-client", "a program"}})
	system := firstIn(agent, "another system", [][2]string{{"Android", "Android"}, {"iPhone", "iPhone"}, {"iPad", "iPad"},
		{"Windows", "Windows"}, {"Mac OS X", "Mac"}, {"CrOS", "Chromebook"}, {"Linux", "Linux"}})
	return browser + " on " + system
}

// firstIn is the word of the first mark that a text has.
func firstIn(text, none string, marks [][2]string) string {
	for _, m := range marks {
		if strings.Contains(text, m[0]) {
			return m[1]
		}
	}
	return none
}
