# SPDX-License-Identifier: MIT
# Completion of fumecast for bash. To use it: source <(fumecast completion bash)
_fumecast_complete()
{
    local program=${COMP_WORDS[0]} typed=${COMP_LINE:0:COMP_POINT} word="" found prefix
    # The word at the cursor as it stands on the line: bash splits at = and :, which our values hold.
    word=${typed##*[[:space:]]}
    typed="fumecast${typed#"$program"}"
    program=${program/#\~/$HOME}
    [[ $word == *[=:]* ]] && prefix=${word%"${word##*[=:]}"} || prefix=""
    COMPREPLY=()
    while IFS= read -r found; do
        found=${found%$'\r'}
        # Options only where one was begun, so that a bare Tab can offer files.
        [[ $found == -* && $word != -* ]] && continue
        [[ $found == "$word"* ]] && COMPREPLY+=("${found#"$prefix"}")
    done < <("$program" "[suggest:${#typed}]" "$typed" 2>/dev/null)
}
complete -o default -F _fumecast_complete fumecast
