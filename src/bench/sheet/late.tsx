// A part of the sheet whose code comes when it is first needed.

import { useSignal } from '@preact/signals'
import type { ComponentType } from 'preact'
import { useEffect } from 'preact/hooks'

/** Makes a component that fetches its code when it is first drawn; nothing stands there until it has come. */
export const late = <P extends object>(
  load: () => Promise<{ readonly default: ComponentType<P> }>,
): ComponentType<P> => {
  let known: ComponentType<P> | null = null
  return (props: P) => {
    const come = useSignal(known !== null)
    useEffect(() => {
      if (known) return
      load().then(
        (module) => {
          known = module.default
          come.value = true
        },
        () => undefined,
      )
    }, [])
    const Known = come.value ? known : null
    return Known ? <Known {...props} /> : null
  }
}
