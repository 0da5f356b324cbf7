// Completion scripts for three shells, made from the table of verbs.

import { COMMON_OPTIONS, type OptionRow, type VerbRow } from './verb-row.ts'
import { RECIPE_WORDS, SHELLS, VERBS } from './verbs.ts'

const optionsOf = (verb: VerbRow): readonly OptionRow[] => [...verb.options, ...COMMON_OPTIONS]

/** Whether files may follow a verb. */
const takesFiles = ({ completes }: VerbRow): boolean =>
  completes === 'figure' || completes === 'code' || completes === 'recipe'

/** Words that may follow a verb beside files. */
const wordsAfter = (verb: VerbRow, crew: readonly string[]): readonly string[] => {
  switch (verb.completes) {
    case 'figure':
      return crew
    case 'verb':
      return VERBS.map(({ name }) => name)
    case 'shell':
      return SHELLS
    case 'recipe':
      return RECIPE_WORDS
    case 'code':
    case 'none':
      return []
  }
}

const bash = (crew: readonly string[]): string => {
  const cases = VERBS.map((verb) => {
    const choices = optionsOf(verb)
      .filter((option) => option.choices)
      .map(({ long, choices }) => `--${long}) COMPREPLY=($(compgen -W "${choices?.join(' ')}" -- "$word")); return ;;`)
    const flags = optionsOf(verb).map(({ long }) => `--${long}`)
    const words = wordsAfter(verb, crew)
    const files = takesFiles(verb) ? ' -f' : ''
    return `    ${verb.name})
      case "$before" in ${choices.join(' ')} esac
      if [[ $word == -* ]]; then COMPREPLY=($(compgen -W "${flags.join(' ')}" -- "$word"))
      else COMPREPLY=($(compgen${files} -W "${words.join(' ')}" -- "$word")); fi ;;`
  })
  return `# bash completion for fettle
_fettle() {
  local word=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]}
  if [[ $COMP_CWORD -eq 1 ]]; then
    COMPREPLY=($(compgen -W "${VERBS.map(({ name }) => name).join(' ')} --version --help" -- "$word"))
    return
  fi
  case "\${COMP_WORDS[1]}" in
${cases.join('\n')}
  esac
}
# A colon is part of crew:NAME, not a break between words.
COMP_WORDBREAKS=\${COMP_WORDBREAKS//:/}
complete -o filenames -F _fettle fettle
`
}

const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`

const zsh = (crew: readonly string[]): string => {
  const plain = (text: string) => text.replace(/[[\]:]/g, ' ')
  const cases = VERBS.map((verb) => {
    const specs = optionsOf(verb).map(({ long, value, meaning, choices, completes }) => {
      const action = choices ? `(${choices.join(' ')})` : completes ? '_files' : ' '
      return quoted(`--${long}[${plain(meaning)}]${value ? `:${value}:${action}` : ''}`)
    })
    const words = wordsAfter(verb, crew).map((word) => word.replaceAll(':', '\\:'))
    const rest = takesFiles(verb)
      ? [
          words.length > 0
            ? quoted(`*:word:_alternative 'words:word:(${words.join(' ')})' 'files:file:_files'`)
            : quoted('*:file:_files'),
        ]
      : words.length > 0
        ? [quoted(`1:word:(${words.join(' ')})`)]
        : []
    return `    ${verb.name}) _arguments ${[...specs, ...rest].join(' ')} ;;`
  })
  return `#compdef fettle
_fettle() {
  if (( CURRENT == 2 )); then
    local -a verbs=(${VERBS.map(({ name, summary }) => quoted(`${name}:${plain(summary)}`)).join(' ')})
    _describe verb verbs
    return
  fi
  local verb=$words[2]
  shift words; (( CURRENT-- ))
  case $verb in
${cases.join('\n')}
  esac
}
compdef _fettle fettle
`
}

const fish = (crew: readonly string[]): string => {
  const lines = VERBS.flatMap((verb) => {
    const seen = `-n '__fish_seen_subcommand_from ${verb.name}'`
    const options = optionsOf(verb).map(({ long, short, value, meaning, choices, completes }) =>
      [
        `complete -c fettle ${seen} -l ${long}`,
        short ? `-s ${short}` : '',
        value ? (completes ? '-r -F' : '-x') : '',
        choices ? `-a ${quoted(choices.join(' '))}` : '',
        `-d ${quoted(meaning)}`,
      ]
        .filter(Boolean)
        .join(' '),
    )
    const words = wordsAfter(verb, crew)
    const files = takesFiles(verb) ? ' -F' : ''
    const after =
      words.length > 0 || files
        ? [`complete -c fettle ${seen}${files}${words.length > 0 ? ` -a ${quoted(words.join(' '))}` : ''}`]
        : []
    return [
      `complete -c fettle -n __fish_use_subcommand -a ${verb.name} -d ${quoted(verb.summary)}`,
      ...options,
      ...after,
    ]
  })
  return `# fish completion for fettle\ncomplete -c fettle -f\n${lines.join('\n')}\n`
}

/** The script for a shell. `crew` are the built-in figures, as crew:NAME. */
export const completionScript = (shell: (typeof SHELLS)[number], crew: readonly string[]): string =>
  ({ bash, zsh, fish })[shell](crew)
