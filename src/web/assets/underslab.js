// Everything here makes a page quicker to use; nothing needs it.
;(() => {
  const root = document.documentElement
  const chosen = /(?:^|; )scheme=(light|dark)/.exec(document.cookie)
  if (chosen) root.dataset.scheme = chosen[1]

  const readNumber = text => {
    const plain = text.trim().replace(/\s/g, '').replace(',', '.')
    return /^-?\d*\.?\d+$/.test(plain) && !/^-?[1-9]\d{0,2},\d{3}$/.test(text.trim())
      ? plain.replace(/^(-?)\./, '$10.')
      : null
  }

  function echo(input) {
    const output = document.querySelector(`output[for="${input.id}"]`)
    if (!output) return
    const value = readNumber(input.value)
    output.textContent = value === null ? '' : `read as ${value} ${input.dataset.unit ?? ''}`.trim()
  }

  function keepDraft(form) {
    const key = `draft:${form.dataset.draft}`
    const kept = [...form.elements].filter(
      field => field.name && !field.name.startsWith('_') && !/^(password|file|hidden)$/.test(field.type),
    )
    const stored = JSON.parse(sessionStorage.getItem(key) ?? 'null')
    if (stored && !form.querySelector('.error-summary'))
      for (const field of kept) {
        const value = stored[`${field.name} ${field.id}`]
        if (value === undefined) continue
        if (/^(checkbox|radio)$/.test(field.type)) field.checked = value
        else field.value = value
      }
    form.addEventListener('input', () => {
      const typed = kept.map(field => [
        `${field.name} ${field.id}`,
        /^(checkbox|radio)$/.test(field.type) ? field.checked : field.value,
      ])
      sessionStorage.setItem(key, JSON.stringify(Object.fromEntries(typed)))
    })
    form.addEventListener('submit', () => sessionStorage.removeItem(key))
  }

  function showPassword(input) {
    const button = document.createElement('button')
    button.type = 'button'
    button.className = 'quiet'
    button.textContent = 'Show the password'
    button.addEventListener('click', () => {
      const hidden = input.type === 'password'
      input.type = hidden ? 'text' : 'password'
      button.textContent = hidden ? 'Hide the password' : 'Show the password'
    })
    input.after(button)
  }

  document.addEventListener('DOMContentLoaded', () => {
    document.getElementById('error-summary')?.focus()
    for (const input of document.querySelectorAll('input[data-echo]')) echo(input)
    for (const form of document.querySelectorAll('form[data-draft]')) keepDraft(form)
    for (const input of document.querySelectorAll('input[type=password]')) showPassword(input)
  })
  document.addEventListener('input', event => {
    if (event.target.dataset?.echo) echo(event.target)
  })
  document.addEventListener('submit', event => {
    const form = event.target
    if (!form.dataset.once) return
    if (form.dataset.sent) return event.preventDefault()
    form.dataset.sent = 'yes'
    const button = event.submitter ?? form.querySelector('button[type=submit]')
    if (button) {
      button.dataset.words = button.textContent
      button.textContent = form.dataset.once
      button.setAttribute('aria-busy', 'true')
    }
  })
  // A page that comes back from the browser's memory must be able to send again.
  window.addEventListener('pageshow', () => {
    for (const form of document.querySelectorAll('form[data-sent]')) {
      delete form.dataset.sent
      const button = form.querySelector('button[aria-busy]')
      if (!button) continue
      button.textContent = button.dataset.words
      button.removeAttribute('aria-busy')
    }
  })
  /** Up and down lead from the search box through the homes that were found, and back. */
  function stepThroughHits(event) {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key]
    const stops = [document.getElementById('search-box'), ...document.querySelectorAll('.hits a')]
    const at = stops.indexOf(event.target)
    if (!step || stops.length === 1 || at < 0 || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    stops[at + step]?.focus()
  }
  document.addEventListener('keydown', stepThroughHits)
  document.addEventListener('keydown', event => {
    const typing = event.target.closest?.('input, textarea, select, [contenteditable]')
    if (event.key !== '/' || typing || event.ctrlKey || event.metaKey || event.altKey) return
    const box = document.getElementById('search-box')
    if (!box) return
    event.preventDefault()
    box.focus()
    box.select()
  })
})()
