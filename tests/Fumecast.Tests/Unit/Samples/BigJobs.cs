// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Samples;

namespace Fumecast.Tests.Unit.Samples;

public class BigJobs
{
    public static TheoryData<BigJobKind> Kinds => [.. Enum.GetValues<BigJobKind>()];

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Job_has_the_size_asked_for_and_is_the_same_each_time(BigJobKind kind)
    {
        var job = Make(kind);
        Assert.InRange(job.Length, 600_000, 700_000);
        Assert.True(job.AsSpan().SequenceEqual(Make(kind)));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Claimed_filament_is_the_sum_of_the_beads(BigJobKind kind)
    {
        var lines = Lines(kind);
        double sum = 0, last = 0;
        foreach (var line in lines)
        {
            if (line == "G92 E0")
            {
                last = 0;
            }
            else if (line.StartsWith('G') && line.IndexOf(" E", StringComparison.Ordinal) is > 0 and var at)
            {
                var end = line.IndexOf(' ', at + 1);
                var e = double.Parse(end < 0 ? line[(at + 2)..] : line[(at + 2)..end], CultureInfo.InvariantCulture);
                sum += kind == BigJobKind.AbsoluteCrlf ? e - last : e;
                last = e;
            }
        }

        // The file ends retracted by 0.8 mm.
        var claimed = double.Parse(lines.Last(static line => line.StartsWith("; uses ", StringComparison.Ordinal)).Split(' ')[2], CultureInfo.InvariantCulture);
        Close.To(claimed, sum + 0.8, 0.01 / claimed);
    }

    [Fact]
    public void Each_kind_is_awkward_in_its_own_way()
    {
        Assert.InRange(Share(BigJobKind.Comments, line => line.StartsWith(';')), 0.48, 0.55);
        Assert.InRange(Share(BigJobKind.Arcs, line => line.StartsWith("G2", StringComparison.Ordinal) || line.StartsWith("G3", StringComparison.Ordinal)), 0.6, 1);
        Assert.Equal(Lines(BigJobKind.AbsoluteCrlf).Length, Encoding.UTF8.GetString(Make(BigJobKind.AbsoluteCrlf)).Count(c => c == '\r') + 1);
        Assert.DoesNotContain((byte)'\r', Make(BigJobKind.Perimeters));
        Assert.InRange(Share(BigJobKind.Tiny, line => line.StartsWith("G1 X", StringComparison.Ordinal)), 0.95, 1);
    }

    [Theory]
    [InlineData(0, 3, true, "0")]
    [InlineData(0.5, 3, true, "0.5")]
    [InlineData(0.5, 3, false, ".5")]
    [InlineData(-0.05, 3, false, "-.05")]
    [InlineData(-0.0004, 3, true, "0")]
    [InlineData(120, 3, true, "120")]
    [InlineData(100.1006, 3, true, "100.101")]
    [InlineData(1234567, 0, true, "1234567")]
    public void Number_is_written_without_trailing_zeros(double value, int decimals, bool leadingZero, string expected)
    {
        using var bytes = new MemoryStream();
        var text = new GCodeText(bytes);
        text.Number(value, decimals, leadingZero).Flush();
        Assert.Equal(expected, Encoding.ASCII.GetString(bytes.ToArray()));
    }

    private static double Share(BigJobKind kind, Func<string, bool> counts)
    {
        var lines = Lines(kind);
        return (double)lines.Count(counts) / lines.Length;
    }

    private static string[] Lines(BigJobKind kind) => Encoding.UTF8.GetString(Make(kind)).Split(kind == BigJobKind.AbsoluteCrlf ? "\r\n" : "\n");

    private static byte[] Make(BigJobKind kind)
    {
        using var bytes = new MemoryStream();
        BigJob.Write(bytes, kind, 0.6);
        return bytes.ToArray();
    }
}
