/** What the page has to say about what was just done. A `trouble` is read out at once, the others when there is time. */
export type Message = {
  readonly kind: 'done' | 'note' | 'trouble'
  readonly text: string
  readonly link?: { readonly href: string; readonly words: string }
}

const lead: Record<Message['kind'], string> = { done: 'Done.', note: 'Note.', trouble: 'Trouble.' }

export function Messages({ messages = [] }: { messages?: readonly Message[] }): JSX.Element {
  if (messages.length === 0) return <></>
  return (
    <div class="messages">
      {messages.map(({ kind, text, link }) => (
        <p class={`message message-${kind}`} role={kind === 'trouble' ? 'alert' : 'status'}>
          <strong safe>{lead[kind]}</strong> <span safe>{text}</span>{' '}
          {link ? (
            <a href={link.href} safe>
              {link.words}
            </a>
          ) : (
            ''
          )}
        </p>
      ))}
    </div>
  )
}
