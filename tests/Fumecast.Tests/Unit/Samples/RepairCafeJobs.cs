// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using Fumecast.Samples;

namespace Fumecast.Tests.Unit.Samples;

public partial class RepairCafeJobs
{
    public static TheoryData<string> Names => [.. RepairCafe.Jobs.Select(job => job.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public void Generator_makes_the_committed_files_byte_for_byte(string name)
    {
        var job = RepairCafe.Jobs.Single(job => job.Name == name);
        var folder = RepositoryRoot.Of("examples", name);
        Assert.True(
            job.ToGCode().AsSpan().SequenceEqual(File.ReadAllBytes(Path.Combine(folder, "job.gcode"))),
            $"examples/{name}/job.gcode is stale: dotnet run --project tests/Fumecast.Samples -- examples");
        Assert.Equal(job.Story, File.ReadAllText(Path.Combine(folder, "README.md")));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Claimed_filament_is_what_the_moves_push_beyond_the_priming_line(string name)
    {
        var text = Encoding.UTF8.GetString(RepairCafe.Jobs.Single(job => job.Name == name).ToGCode());
        var claim = ClaimedFilament().Match(text);
        var claimedMm = double.Parse(claim.Groups["n"].Value, CultureInfo.InvariantCulture);
        var (highWaterMm, primedMm) = SumFilament(text);
        Close.To(claimedMm, highWaterMm - primedMm, 0.05 / claimedMm);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Job_has_a_size_worth_committing(string name) =>
        Assert.InRange(RepairCafe.Jobs.Single(job => job.Name == name).ToGCode().Length, 20_000, 300_000);

    /// <summary>Highest mark of the filament position, and the mark before the first retraction, which ends the priming line.</summary>
    private static (double HighWaterMm, double PrimedMm) SumFilament(string text)
    {
        var relative = text.Contains("\nM83", StringComparison.Ordinal);
        double fed = 0, highest = 0, last = 0, primed = double.NaN;
        foreach (var line in text.Split('\n'))
        {
            var word = WordE().Match(line);
            if (line.StartsWith("G92 E0", StringComparison.Ordinal))
            {
                last = 0;
            }
            else if (word.Success)
            {
                var e = double.Parse(word.Groups[1].Value, CultureInfo.InvariantCulture);
                var push = relative ? e : e - last;
                last = e;
                if (push < 0 && double.IsNaN(primed) && highest > 1)
                {
                    primed = highest;
                }

                fed += push;
                highest = Math.Max(highest, fed);
            }
        }

        return (highest, primed);
    }

    [GeneratedRegex(@"; uses (?<n>[\d.]+) mm")]
    private static partial Regex ClaimedFilament();

    [GeneratedRegex(@"^G[0123] .*E(-?[\d.]+)")]
    private static partial Regex WordE();
}
