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

    /// <summary>Whether nothing was noted of a setting yet; asked first where the value takes work to write.</summary>
    public bool IsNew(string setting) => !_seen.Contains(setting);

    public void Note(string setting, string value, string because, long line)
    {
        if (_choices.Count < MostChoices && _seen.Add(setting))
        {
            _choices.Add(new ResolvedChoice(setting, value, because, line));
        }
    }
}
