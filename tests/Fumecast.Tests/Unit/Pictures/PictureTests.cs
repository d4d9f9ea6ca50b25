// SPDX-License-Identifier: MIT
using System.Xml.Linq;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Pictures;
using Fumecast.Report;
using Fumecast.Tests.Unit.Report;
using Fumecast.Uncertainty;
using SkiaSharp;

namespace Fumecast.Tests.Unit.Pictures;

public class PictureTests
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";

    private static byte[] Estimate(PictureFormat format, double durationS = 3000)
    {
        var picture = new EstimatePicture();
        SampleSeries.Play(picture, durationS, 10);
        using var stream = new MemoryStream();
        picture.Write(stream, format, SampleEstimate.Make());
        return stream.ToArray();
    }

    private static XDocument Parse(byte[] svg) => XDocument.Load(new MemoryStream(svg));

    /// <summary>The words of an SVG, which it keeps for screen readers.</summary>
    private static string[] Words(XDocument svg) => [.. svg.Descendants(Svg + "g").Select(g => (string?)g.Attribute("aria-label")).OfType<string>()];

    [Fact]
    public void An_svg_has_its_text_as_outlines_and_asks_for_no_font()
    {
        var bytes = Estimate(PictureFormat.Svg);
        var svg = Parse(bytes);
        Assert.Empty(svg.Descendants(Svg + "text"));
        Assert.DoesNotContain("font-family", System.Text.Encoding.UTF8.GetString(bytes));
        var words = Words(svg);
        Assert.Contains("lamp-foot.gcode", words);
        Assert.Contains("Particles given off", words);
        Assert.Contains("10", words);
        Assert.Contains("1 trillion, 10¹²", words);

        // Every letter that is used has a shape.
        var shapes = svg.Descendants(Svg + "defs").Elements(Svg + "path").Select(p => (string?)p.Attribute("id")).ToHashSet();
        XNamespace link = "http://www.w3.org/1999/xlink";
        var used = svg.Descendants(Svg + "use").Select(u => ((string?)u.Attribute(link + "href"))?[1..]).ToList();
        Assert.NotEmpty(used);
        Assert.All(used, id => Assert.Contains(id, shapes));
    }

    [Fact]
    public void A_png_decodes_at_twice_the_size_and_shows_every_colour()
    {
        using var image = SKBitmap.Decode(Estimate(PictureFormat.Png));
        Assert.Equal(2000, image.Width);
        var colours = image.Pixels.ToHashSet();
        Assert.Contains(Palette.Paper.ToSKColor(), colours);
        Assert.Contains(Palette.Flow.ToSKColor(), colours);
        Assert.Contains(Palette.Heat.ToSKColor(), colours);
        Assert.Contains(Palette.Particles.ToSKColor(), colours);
        Assert.Contains(Palette.Vapours.ToSKColor(), colours);
        Assert.Contains(Palette.Ink.ToSKColor(), colours); // text
    }

    [Theory]
    [InlineData(PictureFormat.Svg)]
    [InlineData(PictureFormat.Png)]
    public void Is_the_same_each_time(PictureFormat format) => Assert.Equal(Estimate(format), Estimate(format));

    [Fact]
    public void A_series_of_any_length_needs_bounded_memory_and_keeps_its_sum()
    {
        var buffer = new SeriesBuffer(100);
        var sum = 0.0;
        for (var i = 0; i < 123_457; i++)
        {
            var flow = i == 77_000 ? 50 : 1 + (i % 7);
            sum += flow;
            buffer.Add(new SeriesPoint { StartS = i, EndS = i + 1, FlowMm3PerS = flow, FlowLow = flow, FlowHigh = flow });
        }

        Assert.InRange(buffer.Points.Length, 50, 100);
        var kept = 0.0;
        var end = 0.0;
        foreach (var point in buffer.Points)
        {
            Assert.Equal(end, point.StartS);
            end = point.EndS;
            kept += point.FlowMm3PerS * (point.EndS - point.StartS);
        }

        Assert.Equal(123_457, end);
        Close.To(sum, kept, 1e-12);
        Assert.Equal(50, buffer.Points.ToArray().Max(static p => p.FlowHigh));
        Assert.Equal(1, buffer.Points.ToArray().Min(static p => p.FlowLow));
        Assert.InRange(buffer.Reduced(7).Length, 1, 7);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(3)]
    public void A_job_of_hardly_any_length_is_drawn(double durationS)
    {
        var words = Words(Parse(Estimate(PictureFormat.Svg, durationS)));
        Assert.Contains("lamp-foot.gcode", words);
        Assert.DoesNotContain(words, static word => word.Contains("NaN", StringComparison.Ordinal));
    }

    [Fact]
    public void A_second_beginning_voids_the_first()
    {
        var picture = new EstimatePicture();
        SampleSeries.Play(picture, 90_000, 10);
        SampleSeries.Play(picture, 3000, 10);
        using var stream = new MemoryStream();
        picture.Write(stream, PictureFormat.Svg, SampleEstimate.Make());
        Assert.Equal(Estimate(PictureFormat.Svg), stream.ToArray());
    }

    [Fact]
    public void A_job_that_gives_off_nothing_is_drawn()
    {
        var picture = new EstimatePicture();
        ((ISeriesSink)picture).Begin(SampleSeries.Agents);
        for (var i = 0; i < 10; i++)
        {
            var row = new SeriesRow { TimeS = 10 * i, DurationS = 10, NozzleC = 20 };
            picture.Row(in row, [default, default]);
        }

        using var stream = new MemoryStream();
        picture.Write(stream, PictureFormat.Svg, SampleEstimate.Make());
        Assert.Contains("Particles given off", Words(Parse(stream.ToArray())));
    }

    [Fact]
    public void Strips_name_every_candidate_with_its_rank()
    {
        var entries = new List<FlowStripEntry>();
        foreach (var (name, grade) in new[] { ("even.gcode", EvennessGrade.Flat), ("rough.gcode", EvennessGrade.Uneven) })
        {
            var series = new CoarseningSeries();
            for (var second = 0; second < 20_000; second++)
            {
                series.Add(second, 1, 3 + Math.Sin(second * 0.01));
            }

            var flow = SampleEstimate.Make().Flow with { Grade = grade, PrintPhaseS = 20_000 };
            var profile = new FlowProfile { File = name, Flow = flow, TimeS = 20_100, Series = series, Diagnostics = [] };
            entries.Add(new FlowStripEntry(name, FlowStrip.Of(profile), flow));
        }

        using var stream = new MemoryStream();
        FlowStripsPicture.Write(stream, PictureFormat.Svg, entries);
        var words = Words(Parse(stream.ToArray()));
        Assert.Contains("1. even.gcode", words);
        Assert.Contains("2. rough.gcode", words);
        Assert.Contains(words, static word => word.StartsWith("uneven", StringComparison.Ordinal) && word.Contains("varies by 31 %", StringComparison.Ordinal));
    }

    // The same shape at a tenth of the flow: on one scale it would be a flat line at 0, and look even.
    [Fact]
    public void Strips_are_scaled_each_to_its_own_median()
    {
        var entries = new List<FlowStripEntry>();
        foreach (var size in new[] { 10.0, 1.0 })
        {
            var series = new CoarseningSeries();
            for (var second = 0; second < 6000; second++)
            {
                series.Add(second, 1, size * (1 + 0.5 * Math.Sin(second * 0.01)));
            }

            var flow = SampleEstimate.Make().Flow with { Grade = EvennessGrade.Flat, PrintPhaseS = 6000, MedianMm3PerS = size };
            entries.Add(new FlowStripEntry("a", FlowStrip.Of(new FlowProfile { File = "a", Flow = flow, TimeS = 6000, Series = series, Diagnostics = [] }), flow));
        }

        using var stream = new MemoryStream();
        FlowStripsPicture.Write(stream, PictureFormat.Svg, entries);
        var lines = Parse(stream.ToArray()).Descendants(Svg + "path")
            .Where(static path => (string?)path.Attribute("stroke") == Palette.Grade(0).ToHex() && (string?)path.Attribute("fill") == "none")
            .Select(static path => (string)path.Attribute("d")!).Distinct().Select(Heights).ToList();
        Assert.Equal(2, lines.Count);
        Assert.True(lines[0].Max() - lines[0].Min() > 20);
        Assert.Equal(lines[0].Count, lines[1].Count);
        var apart = lines[1][0] - lines[0][0];
        Assert.True(apart > 50);
        for (var i = 0; i < lines[0].Count; i++)
        {
            Assert.Equal(lines[0][i] + apart, lines[1][i], 0.1);
        }
    }

    [Fact]
    public void Particles_and_vapours_have_the_same_colours_in_both_pictures()
    {
        using var stream = new MemoryStream();
        ComparisonPicture.Write(
            stream, PictureFormat.Svg, "Which?", [new("Particles", "1"), new("TVOC", "", IsVapours: true)], [new("base", [new Uncertain(1, 2, 4), new Uncertain(1, 2, 4)])], 0.9, "Bars.");
        var dots = Parse(stream.ToArray()).Descendants(Svg + "ellipse").Select(static dot => (string?)dot.Attribute("fill")).Distinct().ToList();
        Assert.Equal([Palette.Particles.ToHex(), Palette.Vapours.ToHex()], dots);
        var lines = Parse(Estimate(PictureFormat.Svg)).Descendants(Svg + "path").Select(static path => (string?)path.Attribute("stroke")).ToHashSet();
        Assert.Superset(dots.ToHashSet(), lines);
    }

    /// <summary>The heights of the points of a line, from its <c>M</c> and <c>L</c> steps.</summary>
    private static List<double> Heights(string steps) => [.. steps.Split(['M', 'L'], StringSplitOptions.RemoveEmptyEntries)
        .Select(static point => double.Parse(point.Split(' ', ',')[1], System.Globalization.CultureInfo.InvariantCulture))];

    [Fact]
    public void A_strip_holds_means_over_the_meters_interval()
    {
        var series = new CoarseningSeries();
        for (var second = 0; second < 25; second++)
        {
            series.Add(second, 1, second < 10 ? 1 : 3);
        }

        var flow = SampleEstimate.Make().Flow with { IntervalS = 10, PrintPhaseS = 24.5 };
        var points = FlowStrip.Of(new FlowProfile { File = "a", Flow = flow, TimeS = 60, Series = series, Diagnostics = [] }).Series.Points;
        Assert.Equal(3, points.Length);
        Assert.Equal((0, 10, 1), (points[0].StartS, points[0].EndS, points[0].FlowMm3PerS));
        Assert.Equal((10, 20, 3), (points[1].StartS, points[1].EndS, points[1].FlowMm3PerS));

        // The last cell ends with the print phase: 15 mm3 in 4.5 s.
        Assert.Equal((20, 24.5), (points[2].StartS, points[2].EndS));
        Close.To(15 / 4.5, points[2].FlowMm3PerS, 1e-12);
    }

    // The median of the flow itself leaves out travels, which lie in every mean over the meter's interval: means would lie below 1 all the time.
    [Theory]
    [InlineData("hose-adapter")]
    [InlineData("lamp-clip")]
    [InlineData("radio-knob")]
    public void Half_of_a_strip_lies_below_the_median_that_it_is_drawn_over(string name)
    {
        var job = RepositoryRoot.Of("examples", name, "job.gcode");
        var profile = PrintForecast.Rank([job], new EstimateOptions(), keptSeries: 1).Ranked[0].Profile;
        var strip = FlowStrip.Of(profile);
        var points = strip.Series.Points.ToArray();
        Assert.InRange(points.Count(point => point.FlowMm3PerS < strip.MedianMm3PerS), points.Length / 2 - 1, points.Length / 2 + 1);
        Assert.True(strip.MedianMm3PerS < profile.Flow.MedianMm3PerS);
    }

    [Fact]
    public void A_strip_that_pauses_most_of_its_time_keeps_its_scale()
    {
        var series = new CoarseningSeries();
        for (var second = 0; second < 1000; second += second % 50 < 9 ? 1 : 41)
        {
            series.Add(second, 1, 5);
        }

        var flow = SampleEstimate.Make().Flow with { PrintPhaseS = 1000, IntervalS = 10 };
        var strip = FlowStrip.Of(new FlowProfile { File = "a", Flow = flow, TimeS = 1000, Series = series, Diagnostics = [] });
        Close.To(5, strip.MedianMm3PerS, 1e-12);
        Assert.Equal(0, FlowStrip.Of(new FlowProfile { File = "a", Flow = flow, TimeS = 0, Diagnostics = [] }).MedianMm3PerS);
    }

    [Fact]
    public void No_name_can_turn_the_text_of_a_picture_or_break_its_file()
    {
        const string name = "a\u202Eedocg.b\u2066\u0007\u200F.gcode";
        var picture = new EstimatePicture();
        SampleSeries.Play(picture, 600, 10);
        var estimate = SampleEstimate.Make();
        foreach (var draw in new Action<Stream>[]
        {
            stream => picture.Write(stream, PictureFormat.Svg, estimate with { Job = estimate.Job with { File = name } }),
            stream => FlowStripsPicture.Write(stream, PictureFormat.Svg, [new FlowStripEntry(name, FlowStrip.Of(new FlowProfile { File = name, Flow = estimate.Flow, TimeS = 1, Diagnostics = [] }), estimate.Flow)]),
            stream => ComparisonPicture.Write(stream, PictureFormat.Svg, name, [new("Particles", "1")], [new(name, [new Uncertain(1, 2, 4)])], 0.9, "Bars."),
        })
        {
            using var stream = new MemoryStream();
            draw(stream);
            var text = System.Text.Encoding.UTF8.GetString(stream.ToArray());
            Assert.DoesNotContain(text, static letter => letter is '\u202E' or '\u2066' or '\u200F' or '\u0007');
            Assert.Contains(Words(Parse(stream.ToArray())), static word => word.Contains("a<U+202E>edocg.b<U+2066>?<U+200F>.gcode", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void A_long_name_is_cut_between_letters()
    {
        for (var width = 40; width < 400; width += 7)
        {
            var shown = Sheet.Fit(string.Concat(Enumerable.Repeat("\u202E\U0001F600", 60)), width, 12);
            Assert.DoesNotContain("\u202E", shown, StringComparison.Ordinal);
            Assert.Equal("", shown.Replace("<U+202E>", "", StringComparison.Ordinal).Replace("\U0001F600", "", StringComparison.Ordinal).Replace("…", "", StringComparison.Ordinal));
            Assert.True(shown.EnumerateRunes().Count() <= 5 * 9 || Sheet.Measure(shown, 12) <= width);
        }
    }

    [Fact]
    public void A_comparison_draws_a_dot_for_each_value_it_has()
    {
        using var stream = new MemoryStream();
        ComparisonPicture.Write(
            stream, PictureFormat.Svg, "Which settings give off less?", [new("Particles", "1"), new("TVOC", "ug")],
            [
                new("base", [new Uncertain(1e10, 1e11, 1e12), new Uncertain(10, 100, 1000)]),
                new("cooler", [new Uncertain(1e9, 1e10, 1e11), null]),
            ],
            0.9,
            "Not sure.");
        var svg = Parse(stream.ToArray());
        Assert.Contains("cooler", Words(svg));
        Assert.Contains("100 billion", Words(svg));
        Assert.Contains("10¹¹", Words(svg));
        Assert.Contains("Not sure. An estimate, not an exposure assessment.", Words(svg));
        var dots = svg.Descendants(Svg + "circle").Concat(svg.Descendants(Svg + "ellipse"));
        Assert.Equal(3, dots.Select(static dot => ((string?)dot.Attribute("cx"), (string?)dot.Attribute("cy"))).Distinct().Count());
    }

    [Fact]
    public void The_typeface_has_the_signs_that_are_used()
    {
        using var font = PictureFont.Of(12);
        using var bold = PictureFont.Of(12, bold: true);
        foreach (var letter in "µ°³…⁻⁰¹²³⁴⁵⁶⁷⁸⁹äéñжλ")
        {
            Assert.NotEqual(0, font.GetGlyph(letter));
            Assert.NotEqual(0, bold.GetGlyph(letter));
        }
    }
}
