// SPDX-License-Identifier: MIT
using System.Xml.Linq;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Pictures;
using SkiaSharp;

namespace Fumecast.Tests.Unit.Pictures;

public class RoomPictureTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    /// <summary>A strong source for an hour, in a box within a room.</summary>
    private static AirOutcome Outcome(double perS = 1e9, bool remedies = false) => AirForecast.OfSources(
        [
            new GivenSource
            {
                Agents = [Agent.ParticleNumber, Agent.Tvoc, new Agent("styrene", "styrene", "ug")],
                Steps = [(3600, [perS, perS / 1e9, perS / 2e9])],
                Gsd = new Dictionary<Agent, double> { [Agent.ParticleNumber] = 3, [Agent.Tvoc] = 2 },
            },
        ],
        new AirOptions { Volume = "40 m3", Enclosure = "0.12 m3", Remedies = remedies, KeepSeries = true, Meters = ["optical-pm", "particle-counter"] });

    private static byte[] Draw(AirOutcome outcome, PictureFormat format)
    {
        using var stream = new MemoryStream();
        RoomPicture.Write(stream, format, outcome);
        return stream.ToArray();
    }

    private static string[] Words(AirOutcome outcome) =>
        [.. XDocument.Load(new MemoryStream(Draw(outcome, PictureFormat.Svg))).Descendants(Svg + "g").Select(static g => (string?)g.Attribute("aria-label")).OfType<string>()];

    [Fact]
    public void It_names_zones_agents_guidelines_with_their_time_and_meters()
    {
        var words = Words(Outcome());
        Assert.Contains(words, static word => word.StartsWith("box (0.12 m³", StringComparison.Ordinal));
        Assert.Contains(words, static word => word.StartsWith("room (40 m³", StringComparison.Ordinal));
        Assert.Contains("Particles, number, added", words);
        Assert.Contains("Particles, mass, added", words);
        Assert.Contains("TVOC, added", words);
        Assert.Contains("Styrene, added", words);
        Assert.Contains(words, static word => word.StartsWith("20000 1/cm³ as mean over 1 h: ", StringComparison.Ordinal));
        Assert.Contains(words, static word => word.StartsWith("Dot: optical-pm in room reads + ", StringComparison.Ordinal));
        Assert.Contains(words, static word => word.StartsWith("Dot: particle-counter in room reads + ", StringComparison.Ordinal));
        Assert.Contains(words, static word => word.Contains("never an all-clear", StringComparison.Ordinal));
        Assert.DoesNotContain(words, static word => word.Contains("NaN", StringComparison.Ordinal) || word.StartsWith("Remedies", StringComparison.Ordinal));
    }

    [Fact]
    public void Remedies_stand_below_when_they_were_asked_for()
    {
        var words = Words(Outcome(remedies: true));
        Assert.Contains("Remedies, in room", words);
        Assert.Contains("without the box", words);
        Assert.Contains("window open", words);
        Assert.Contains("Time integral of particles, times that as it is", words);
    }

    [Fact]
    public void Each_zone_has_its_colour_in_a_png()
    {
        using var image = SKBitmap.Decode(Draw(Outcome(), PictureFormat.Png));
        Assert.Equal(2000, image.Width);
        var colours = image.Pixels.ToHashSet();
        Assert.Contains(Palette.Zone(0).ToSKColor(), colours);
        Assert.Contains(Palette.Zone(1).ToSKColor(), colours);
    }

    [Fact]
    public void A_source_of_next_to_nothing_is_drawn() =>
        Assert.DoesNotContain(Words(Outcome(perS: 1e-12)), static word => word.Contains("NaN", StringComparison.Ordinal));

    [Fact]
    public void Every_panel_is_drawn_once()
    {
        var svg = XDocument.Load(new MemoryStream(Draw(Outcome(), PictureFormat.Svg)));

        // A band for each of two zones in each of four panels.
        Assert.Equal(8, svg.Descendants(Svg + "path").Count(static path => (string?)path.Attribute("fill-opacity") is { } opacity && opacity.StartsWith("0.1", StringComparison.Ordinal)));
    }
}
