// SPDX-License-Identifier: MIT
namespace Fumecast.Machine;

/// <summary>Notes each resolved ambiguity once, with the first line where it mattered.</summary>
internal sealed class ChoiceLog
{
    /// <summary>A broken job may name a new macro on every line.</summary>
    private const int MostChoices = 200;

    private readonly HashSet<string> _seen = [];
    private readonly List<ResolvedChoice> _choices = [];

    public IReadOnlyList<ResolvedChoice> Choices => _choices;

    public void Note(string setting, string value, string because, long line)
    {
        if (_choices.Count < MostChoices && _seen.Add(setting))
        {
            _choices.Add(new ResolvedChoice(setting, value, because, line));
        }
    }
}
