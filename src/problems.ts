import type { FeatureProblems } from './platform/http/problem-kinds.ts'

/** What each feature refuses in words of its own: with which status, and what to do about it. */
export const featureProblems: FeatureProblems = {
  'already-imported': {
    status: 409,
    remedy: 'Undo the earlier import of this file first, or commit with `again` to keep both.',
  },
  'already-published': { status: 409, remedy: 'Publish the change as a new version, from a later day.' },
  'bad-rows': { status: 422, remedy: 'Correct the lines that the errors name, or commit without them.' },
  'can-not-mail': { status: 409, remedy: 'The detail says what is missing: an owner, an address or their consent.' },
  'home-gone': { status: 409, remedy: 'Read the import again and look at its homes before you commit.' },
  'import-committing': {
    status: 409,
    remedy: 'Wait until it is written, or stop it.',
  },
  'import-committed': { status: 409, remedy: 'Undo the import first, if it was wrong.' },
  'import-proposed': { status: 409, remedy: 'There is nothing to undo yet: commit the import, or leave it.' },
  'import-undone': { status: 409, remedy: 'Upload the file again.' },
  'last-owner': { status: 409, remedy: 'Make somebody else an owner first.' },
  'link-closed': { status: 403, remedy: 'Open the link in your newest mail, or ask the company for one.' },
  'link-spent': { status: 404, remedy: 'Ask for a new link from the sign-in page.' },
  'mail-taken': { status: 409, remedy: 'Use another mail address, or change the person who has this one.' },
  'malformed-position': { status: 400, remedy: 'Send the `next` of an answer of the feed as it was.' },
  'not-a-picture': { status: 422, remedy: 'Send a JPEG, PNG or WebP that opens elsewhere.' },
  'not-an-app': { status: 403, remedy: 'Follow the feed with the access token of an app.' },
  'not-set-up': { status: 503, remedy: 'The operator adds the first owner: underslab user add.' },
  'not-to-resend': { status: 409, remedy: 'Wait: this mail is on its way, or arrived.' },
  'not-undoable': { status: 409, remedy: 'Correct or void the test itself.' },
  'position-gone': { status: 410, remedy: 'Read the records anew, and follow the feed from `after=latest` on.' },
  'preview-only': { status: 403, remedy: 'Record it as staff, on the page of the home.' },
  'settled-already': { status: 409, remedy: 'Open the report to see what became of it.' },
  'still-around-a-home': { status: 409, remedy: 'End what ties this person to homes first.' },
  'two-secrets': { status: 409, remedy: 'End the secret that is no longer used, then make a new one.' },
  unanswered: { status: 422, remedy: 'Tell the parts of the reading that the errors point at.' },
  unreadable: { status: 422, remedy: 'Complete what the errors point at.' },
  'unreadable-file': { status: 422, remedy: 'Correct the lines that the errors name, or tell how the file is read.' },
  'wrong-kind': { status: 422, remedy: 'Send what belongs to the kind of this import: a record or a table.' },
}
