package web

import (
	"gelwright/people"
)

// peopleRoutes are the rows of accounts: signing in, one's own account, the people of the firm, and customers' links.
func (s *Server) peopleRoutes() []route {
	page := handler(s.peoplePage)
	return []route{
		{"GET", signInPath, people.Anyone, false, 0, page},
		{"GET", "/invitation", people.Anyone, false, 0, page},
		{"GET", firstPath, people.Anyone, false, 0, page},
		{"GET", "/customer", people.Anyone, false, 0, page},
		{"GET", "/account", people.OwnAccount, false, 0, page},
		{"GET", "/people", people.ManagePeople, false, 0, page},
		{"GET", "/customers", people.ChangeJobs, false, 0, page},
		{"GET", "/deeds", people.ReadDeeds, false, 0, page},

		{"POST", "/api/sign-in", people.Anyone, true, mostWords, tell("signIn", "Sign in with name and password", s.signIn)},
		{"POST", "/api/sign-in/passkey/begin", people.Anyone, true, 0,
			tell("beginPasskeySignIn", "Ask for a passkey to sign in with", s.beginPasskeySignIn)},
		{"POST", "/api/sign-in/passkey", people.Anyone, true, mostWords, tell("passkeySignIn", "Sign in with a passkey", s.passkeySignIn)},
		{"POST", "/api/sign-out", people.OwnAccount, true, 0, tell("signOut", "End the session that asks", s.signOut)},
		{"POST", "/api/invitation", people.Anyone, true, mostWords, tell("invitation", "Say to whom an invitation is", s.invitation)},
		{"POST", "/api/invitation/accept", people.Anyone, true, mostWords,
			tell("acceptInvitation", "Choose the password of an account to which one is invited, and sign in", s.accept)},
		{"POST", "/api/first-owner", people.Anyone, true, mostWords,
			tell("makeFirstOwner", "Make the first owner by the link that the program printed when it started, and sign in", s.makeFirst)},

		{"POST", "/api/account/password", people.OwnAccount, true, mostWords,
			tell("changePassword", "Choose another password; all other sessions end", s.changePassword)},
		{"GET", "/api/account/sessions", people.OwnAccount, false, 0,
			tell("listSessions", "List one's own sessions", s.ownPasses(people.Session))},
		{"POST", "/api/account/sessions/end", people.OwnAccount, true, 0,
			tell("endOtherSessions", "End all of one's own sessions but this one", s.endOtherSessions)},
		{"POST", "/api/account/sessions/{pass}/end", people.OwnAccount, true, 0,
			tell("endSession", "End one of one's own sessions", s.endOwnPass(people.Session))},
		{"GET", "/api/account/tokens", people.OwnAccount, false, 0, tell("listTokens", "List one's own tokens", s.ownPasses(people.Token))},
		{"POST", "/api/account/tokens", people.OwnAccount, true, mostWords,
			tell("newToken", "Make a token for a program that asks for oneself", s.newToken, begins)},
		{"POST", "/api/account/tokens/{pass}/end", people.OwnAccount, true, 0,
			tell("endToken", "End one of one's own tokens", s.endOwnPass(people.Token))},
		{"GET", "/api/account/passkeys", people.OwnAccount, false, 0, tell("listPasskeys", "List one's own passkeys", s.listPasskeys)},
		{"POST", "/api/account/passkeys/begin", people.OwnAccount, true, 0,
			tell("beginPasskey", "Ask a device for a new passkey", s.beginPasskey)},
		{"POST", "/api/account/passkeys", people.OwnAccount, true, mostWords,
			tell("newPasskey", "Keep the passkey that a device has made", s.newPasskey, begins)},
		{"POST", "/api/account/passkeys/{passkey}/end", people.OwnAccount, true, 0,
			tell("endPasskey", "Take one of one's own passkeys away", s.endPasskey)},

		{"GET", "/api/people", people.ManagePeople, false, 0, tell("listPeople", "List the people of the firm", s.staff)},
		{"POST", "/api/people", people.ManagePeople, true, mostWords,
			tell("newPerson", "Make an account for a person, with an invitation", s.newPerson, begins)},
		{"POST", "/api/people/{person}/invite", people.ManagePeople, true, 0,
			tell("invite", "Invite a person anew", s.invite, begins)},
		{"POST", "/api/people/{person}/role", people.ManagePeople, true, mostWords,
			tell("changeRole", "Give a person another role; all sessions and tokens of the person end", s.changeRole)},
		{"POST", "/api/people/{person}/end", people.ManagePeople, true, 0,
			tell("endPerson", "End an account", s.endPerson)},
		{"GET", "/api/people/{person}/sessions", people.ManagePeople, false, 0,
			tell("listSessionsOf", "List the sessions of a person", s.sessionsOf)},
		{"POST", "/api/people/{person}/sessions/{pass}/end", people.ManagePeople, true, 0,
			tell("endSessionOf", "End a session of a person", s.endSessionOf)},
		{"GET", "/api/deeds", people.ReadDeeds, false, 0, tell("listDeeds", "List who did what, the newest first", s.deeds)},

		{"GET", "/api/jobs/{id}/links", people.ChangeJobs, false, 0, tell("listLinks", "List the customers' links of a job", s.links)},
		{"POST", "/api/jobs/{id}/links", people.ChangeJobs, true, mostWords,
			tell("newLink", "Make a link that shows a customer this job", s.newLink, begins)},
		{"POST", "/api/jobs/{id}/links/{link}/end", people.ChangeJobs, true, 0, tell("endLink", "End a customer's link", s.endLink)},
		{"GET", "/api/jobs/{id}/shown", people.ReadJobs, false, 0,
			tell("listShown", "Name the photos that the customer may see", s.shownFiles)},
		{"POST", "/api/jobs/{id}/files/{name}/shown", people.ChangeJobs, true, mostWords,
			tell("showFile", "Show a photo to the customer, or no longer", s.showFile)},

		{"POST", "/api/customer", people.Anyone, true, mostWords, tell("openLink", "Open a customer's link", s.openLink)},
		{"GET", "/api/customer", people.SeeOwnJob, false, 0, tell("customer", "Say what a customer is shown of his job", s.customer)},
		{"GET", "/api/customer/papers/{name}", people.SeeOwnJob, false, 0,
			tell("customersPaper", "Give a paper that is meant for the customer", s.customersPaper, gives("*/*"), unchanged)},
		{"GET", "/api/customer/photos/{name}", people.SeeOwnJob, false, 0,
			tell("customersPhoto", "Give a photo that was chosen for the customer", s.customersPhoto, gives("*/*"), unchanged)},
	}
}
