# SPDX-License-Identifier: MIT
# Completion of fumecast for bash. To use it: source <(fumecast completion bash)
_fumecast_complete()
{
    local program=${COMP_WORDS[0]} typed=${COMP_LINE:0:COMP_POINT} word found prefix=""
    # The word at the cursor as it stands on the line; where bash takes = for the end of a word, it wants what follows only.
    word=${typed##*[[:space:]]}
    [[ $word == *=* && $COMP_WORDBREAKS == *=* ]] && prefix=${word%"${word##*=}"}
    typed="fumecast${typed#"$program"}"
    program=${program/#\~/$HOME}
    COMPREPLY=()
    while IFS= read -r found; do
        found=${found%$'\r'}
        # Options only where one was begun, so that a bare Tab can offer files.
        [[ $found == -* && $word != -* ]] && continue
        [[ $found == "$word"* ]] && COMPREPLY+=("${found#"$prefix"}")
    done < <("$program" "[suggest:${#typed}]" "$typed" 2>/dev/null)
}
complete -o default -F _fumecast_complete fumecast
