// SPDX-License-Identifier: MIT
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>The data files on air that are known, by kind.</summary>
internal static class AirData
{
    /// <summary>Kinds of filters.</summary>
    public static AirCatalogue<FilterKind> Filters { get; } = new("filters", FilterFile.Schema, FilterFile.Read, static f => (Sources(f.Figures().Select(static n => n.Figure)), f.OwnSources));

    /// <summary>Kinds of meters.</summary>
    public static AirCatalogue<MeterKind> Meters { get; } = new("meters", MeterFile.Schema, MeterFile.Read, static m => (Sources(m.Figures().Select(static n => n.Figure)), m.OwnSources));

    /// <summary>Guidelines.</summary>
    public static AirCatalogue<Guideline> Guidelines { get; } = new("guidelines", GuidelineFile.Schema, GuidelineFile.Read, static g => (g.Level.Origin.Sources, g.OwnSources));

    /// <summary>Rooms.</summary>
    public static RoomCatalogue Rooms { get; } = new();

    /// <summary>Ids of the sources of figures, each once.</summary>
    /// <param name="figures">The figures.</param>
    public static IEnumerable<string> Sources(IEnumerable<Figure> figures) => figures.SelectMany(static f => f.Origin.Sources).Distinct();
}
