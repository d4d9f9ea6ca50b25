// SPDX-License-Identifier: MIT
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public class EstimateTextTests
{
    private static string Written(JobEstimate estimate, TextStyle? style = null)
    {
        using var text = new StringWriter();
        EstimateText.Write(text, estimate, style ?? new TextStyle());
        return text.ToString();
    }

    [Fact]
    public void Shows_the_whole_summary()
    {
        const string expected = """
            lamp-foot.gcode will give off about 3.5 trillion particles (3.5e12; from 0.2 to
            50 trillion) and about 6.5 mg of volatile organic compounds (from 2 to 30 mg) in
            3 h 12 min.

            GIVEN OFF        about                 90 % interval       per gram    grade
              particles      3.5 trillion  3.5e12  0.2 to 50 trillion  80 billion  B
              particle mass  310 ug                20 ug to 5 mg       7.3 ug      C
              TVOC           6.5 mg                2 to 30 mg          150 ug      B
              Styrene        3.9 mg                0.9 to 20 mg        90 ug       C
              Ethylbenzene   650 ug                100 ug to 3 mg      15 ug       C

              Highest   particles: about 38 billion (3.8e10) a minute, 12 min after the start
              When      particles: under 1 % while warming up, 97 % while printing, 3 % from the hot
                        nozzle at rest
              How sure  within a factor, either way, of 15 for particles and particle mass, 4 for
                        TVOC; Styrene, Ethylbenzene within a factor of 4.5. 12 % of the TVOC lies
                        outside the range that was measured.
              Grades    B one good study, or several that disagree; C by analogy, or a guess
              Words     fumecast explain grade, fumecast explain interval, fumecast explain TVOC;
                        all: fumecast explain

            THE JOB
              Time      3 h 12 min (moving 3 h 06 min, waiting for heat 5 min, homing 1 min); the
                        file itself claims 3 h 20 min
              Filament  abs, 17.20 m, 43.0 g (of it 0.03 m purged), nozzle 240 to 245 degC
                        the file itself claims 17.20 m
              Flow      3.72 mm3/s on average; varies by 31 % at 10 s; 12 % of the time idle
              Evenness  uneven (flow fair, particles uneven, TVOC flat; the worst counts). More:
                        fumecast explain evenness grade.

            RESTS ON
              printer              middle (assumed, since no --printer was given)
              material of tool 0   abs (the job's comment says ABS, line 40190)

            WARNINGS
              ! line 12: CLEAN_NOZZLE is not known to the profile; its time is not counted (3 times)
              ! no layer marks found

            SOURCES
              made2020, made2021. In full: --format json, or fumecast materials show ID.

            PLEASE NOTE
              - This is an estimate, not an exposure assessment.
              - Never leave a hot printer unattended.
            """;
        Assert.Equal(expected.ReplaceLineEndings("\n"), Written(SampleEstimate.Make()).TrimEnd('\n'));
    }

    [Fact]
    public void Colours_only_when_asked()
    {
        Assert.DoesNotContain('\e', Written(SampleEstimate.Make()));
        Assert.Contains('\e', Written(SampleEstimate.Make(), new TextStyle(Colour: true)));
    }

    [Theory]
    [InlineData(72)]
    [InlineData(88)]
    [InlineData(100)]
    public void Stays_within_its_width(int width)
    {
        var lines = Written(SampleEstimate.Make(), new TextStyle(width)).Split('\n');
        var table = lines.Skip(Array.FindIndex(lines, static line => line.StartsWith("GIVEN OFF", StringComparison.Ordinal))).TakeWhile(static line => line.Length > 0).ToList();
        Assert.Equal(6, table.Count);
        Assert.All(table, static line => Assert.InRange(line.Length, 20, 88));
        Assert.All(lines.Except(table), line => Assert.True(line.Length <= width, line));
    }

    [Fact]
    public void What_a_file_holds_cannot_steer_the_terminal()
    {
        var estimate = SampleEstimate.Make();
        estimate = estimate with { Job = estimate.Job with { File = "a\e[2Jb\u0007\r.gcode" } };
        var text = Written(estimate);
        Assert.DoesNotContain(text, static letter => char.IsControl(letter) && letter != '\n');
        Assert.StartsWith("a?[2Jb??.gcode will give off", text);
    }

    [Fact]
    public void A_job_without_deposit_gives_off_nothing_and_has_no_flow()
    {
        var estimate = SampleEstimate.Make();
        var nothing = estimate with
        {
            Emission = [.. estimate.Emission.Select(e => e with { Total = default, PerGram = null, PeakPerMin = default, WarmUp = default, Printing = default, IdleHot = default })],
            Flow = new FlowEvenness { IntervalS = 10 },
        };
        var text = Written(nothing);
        Assert.StartsWith("lamp-foot.gcode will give off no particles and no volatile organic compounds in 3 h 12 min.", text.Replace('\n', ' '));
        Assert.Contains("none: nothing is deposited", text);
        Assert.DoesNotContain("NaN", text);
        Assert.DoesNotContain("Highest", text);
    }
}
