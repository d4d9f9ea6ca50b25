// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Inputs;

namespace Fumecast.Air;

/// <summary>The words that data files use for agents and groups of them.</summary>
internal static class AgentWords
{
    public const string Particles = "particles";
    public const string Vapours = "vapours";

    private static readonly Agent[] Named = [Agent.ParticleNumber, Agent.ParticleMass, Agent.VisibleMass, Agent.Tvoc];

    /// <summary>Words for sizes of particles that levels are given for; PM2.5 is what an optical meter sees, so it counts for both masses.</summary>
    private static readonly string[] Sizes = ["pm1", "pm25", "pm10"];

    /// <summary>Words that people use for agents, and the words for them.</summary>
    private static readonly (string Word, string Write)[] Meant =
    [
        (Particles, "particle_number or particle_mass"),
        ("particle", "particle_number or particle_mass"),
        ("number", "particle_number"),
        ("ufp", "particle_number"),
        ("mass", "particle_mass"),
        ("dust", "particle_mass"),
        ("pm2.5", "pm25"),
        ("pm2_5", "pm25"),
        (Vapours, "tvoc, or a substance such as styrene"),
        ("vapors", "tvoc, or a substance such as styrene"),
        ("voc", "tvoc"),
        ("vocs", "tvoc"),
    ];

    /// <summary>The agent that a key names; a substance is any word of small letters, digits and underscores.</summary>
    /// <param name="map">The map that has the key.</param>
    /// <param name="key">The key.</param>
    /// <param name="further">Other words that the map may have, for the hint on a misspelt one.</param>
    public static Agent OfKey(YamlMap map, string key, params string[] further) => Of(key, further, message => map.Refuse(key, message));

    /// <summary>The agent that a word names.</summary>
    /// <param name="word">The word.</param>
    /// <param name="further">Other words that may stand in its place.</param>
    /// <param name="refuse">Takes what is wrong with it.</param>
    public static Agent Of(string word, IReadOnlyList<string> further, Action<string> refuse)
    {
        if (Array.Find(Named, agent => agent.Id == word) is { } known)
        {
            return known;
        }

        if (!further.Contains(word) && Array.Find(Meant, meant => string.Equals(meant.Word, word, StringComparison.OrdinalIgnoreCase)).Write is { } write)
        {
            refuse($"found '{word}', expected {write}");
            return new Agent(word, word, "ug");
        }

        string[] words = [.. Named.Select(static agent => agent.Id), .. further];
        var isWord = word.Length > 0 && char.IsAsciiLetterLower(word[0]) && word.All(static c => char.IsAsciiLetterLower(c) || char.IsAsciiDigit(c) || c == '_');
        if (!isWord || Nearest.To(word, words) is not null)
        {
            refuse($"found '{word}', expected {string.Join(", ", words)} or the name of a substance such as styrene{(Nearest.To(word, words) is { } near ? $"; did you mean '{near}'?" : "")}");
        }

        return new Agent(word, word.Replace('_', ' '), "ug");
    }

    /// <summary>The agents that a level of a quantity is a level of.</summary>
    /// <param name="word">A size such as <c>pm25</c>, or an agent.</param>
    /// <param name="refuse">Takes what is wrong with it.</param>
    public static IReadOnlyList<Agent> OfLevel(string word, Action<string> refuse) =>
        Sizes.Contains(word) ? [Agent.ParticleMass, Agent.VisibleMass] : [Of(word, Sizes, message => refuse($"{message} (levels: particle_number in 1/cm3, all else in ug/m3)"))];

    /// <summary>Whether a word is one for a size of particles.</summary>
    /// <param name="word">The word.</param>
    public static bool IsSize(string word) => Sizes.Contains(word);

    /// <summary>Unit of levels of an agent.</summary>
    /// <param name="agent">The agent.</param>
    public static Quantity LevelOf(Agent agent) => agent == Agent.ParticleNumber ? Quantity.NumberConcentration : Quantity.MassConcentration;
}
