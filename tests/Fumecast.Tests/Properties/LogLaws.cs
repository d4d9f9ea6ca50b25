// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using CsCheck;
using Fumecast.Report;
using Fumecast.Trial;

namespace Fumecast.Tests.Properties;

/// <summary>A log says the same in whatever form a meter writes it.</summary>
public class LogLaws
{
    /// <summary>Readings to be written: PM2.5 in tenths, CO2 in whole ppm, minutes apart; some are missing.</summary>
    private sealed record Facts(DateTime From, int StepS, int[] Tenths, int[] Co2);

    private static readonly Gen<Facts> Any =
        from day in Gen.Int[0, 3000]
        from second in Gen.Int[0, 86399]
        from step in Gen.Int[1, 900]
        from tenths in Gen.Int[-1, 9000].Array[6, 60]
        from co2 in Gen.Int[400, 5000].Array[60]
        select new Facts(new DateTime(2019, 1, 1).AddDays(day).AddSeconds(second), step, tenths, co2);

    /// <summary>Ways to write a row's time.</summary>
    private static readonly string[] Patterns =
        ["yyyy-MM-dd HH:mm:ss", "yyyy-MM-ddTHH:mm:ss", "yyyy/MM/dd HH:mm:ss", "dd.MM.yyyy HH:mm:ss", "yyyyMMddTHHmmss", "dd-MMM-yyyy HH:mm:ss", "dd/MM/yyyy hh:mm:ss tt", "MM/dd/yyyy HH:mm:ss"];

    [Fact]
    public void Every_form_gives_the_same_readings() =>
        Gen.Select(Any, Gen.Int[0, Patterns.Length - 1], Gen.OneOf(Gen.Const(','), Gen.Const(';'), Gen.Const('\t'), Gen.Const('|')), Gen.Bool, Gen.Int[0, 4]).Sample((facts, pattern, delimiter, newestFirst, ends) =>
        {
            var hasComma = delimiter is ';' or '\t' && ends % 2 == 0;
            var lines = new List<string>();
            for (var i = 0; i < facts.Tenths.Length; i++)
            {
                var time = facts.From.AddSeconds(i * facts.StepS).ToString(Patterns[pattern], CultureInfo.InvariantCulture);
                lines.Add($"{time}{delimiter}{Tenths(facts.Tenths[i], hasComma)}{delimiter}{facts.Co2[i].ToString(CultureInfo.InvariantCulture)}");
            }

            if (newestFirst)
            {
                lines.Reverse();
            }

            var end = (ends % 3) switch { 0 => "\n", 1 => "\r\n", _ => "\r" };
            var text = $"time{delimiter}PM2.5 (µg/m³){delimiter}CO2 [ppm]{end}{string.Join(end, lines)}{(ends == 4 ? "" : end)}";
            var order = Patterns[pattern][..2] == "MM" ? DateOrder.MonthFirst : DateOrder.DayFirst;
            IsAsWritten(facts, Read(Encoding.UTF8.GetBytes(text), new LogOptions { DateOrder = order }));
            IsAsWritten(facts, Read([.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(text)], new LogOptions { DateOrder = order }));
        }, iter: 300);

    [Fact]
    public void A_row_for_each_reading_gives_the_same() =>
        Any.Sample(facts =>
        {
            var text = new StringBuilder("when,parameter,value,unit\n");
            for (var i = 0; i < facts.Tenths.Length; i++)
            {
                var time = facts.From.AddSeconds(i * facts.StepS).ToString("s", CultureInfo.InvariantCulture);
                text.Append(CultureInfo.InvariantCulture, $"{time},PM2.5,{Tenths(facts.Tenths[i], false)},ug/m3\n{time},CO2,{facts.Co2[i]},ppm\n");
            }

            IsAsWritten(facts, Read(Encoding.UTF8.GetBytes(text.ToString()), new LogOptions()));
        }, iter: 150);

    [Fact]
    public void The_clean_form_is_read_back_as_it_was() =>
        Any.Sample(facts =>
        {
            var text = "time,PM2.5 (mg/m3),CO2,>0.3\n" + string.Concat(facts.Tenths.Select((tenths, i) =>
                string.Create(CultureInfo.InvariantCulture, $"{facts.From.AddSeconds(i * facts.StepS):s},{Tenths(tenths, false)},{facts.Co2[i]},{facts.Co2[i] * 7}\n")));
            var first = Read(Encoding.UTF8.GetBytes(text), new LogOptions { Zone = "+01:00" });
            using var clean = new MemoryStream();
            LogCsv.Write(clean, first);
            var second = Read(clean.ToArray(), new LogOptions());
            Assert.Equal(first.Time.StartLocal, second.Time.StartLocal);
            foreach (var quantity in first.Quantities)
            {
                var (times, values) = quantity.Used();
                var (timesAgain, valuesAgain) = second.Find(quantity.Name)!.Used();
                Assert.Equal(times, timesAgain);
                Assert.Equal(values, valuesAgain);
                Assert.Equal((quantity.Unit, quantity.CutFromUm), (second.Find(quantity.Name)!.Unit, second.Find(quantity.Name)!.CutFromUm));
            }
        }, iter: 150);

    /// <summary>Whatever is cut off or changed: a log or one line, never anything else.</summary>
    [Fact]
    public void Broken_logs_give_a_log_or_one_line() =>
        Gen.Select(Any, Gen.Int[0, 2000], Gen.Char.Array[0, 5], Gen.Int[0, 2000]).Sample((facts, cut, letters, at) =>
        {
            var text = "time;PM2,5;CO2\n" + string.Concat(facts.Tenths.Select((tenths, i) =>
                string.Create(CultureInfo.InvariantCulture, $"{facts.From.AddSeconds(i * facts.StepS):dd/MM/yyyy HH:mm};{Tenths(tenths, true)};{facts.Co2[i]}\n")));
            text = text[..Math.Min(cut, text.Length)];
            text = text.Insert(Math.Min(at, text.Length), new string(letters));
            try
            {
                var log = Read(Encoding.UTF8.GetBytes(text), new LogOptions());
                Assert.NotEmpty(log.Quantities);
                Assert.All(log.Quantities, static quantity =>
                {
                    for (var i = 1; i < quantity.TimesS.Length; i++)
                    {
                        Assert.True(quantity.TimesS[i] >= quantity.TimesS[i - 1]);
                    }
                });
            }
            catch (Inputs.InputProblem problem)
            {
                Assert.StartsWith("-:", problem.Message);
            }
        }, iter: 1500);

    private static MeterLog Read(byte[] bytes, LogOptions options) => MeterLogReader.Read("-", options with { Stdin = new MemoryStream(bytes) });

    /// <summary>-1 stands for a cell that is empty.</summary>
    private static string Tenths(int tenths, bool hasComma) =>
        tenths < 0 ? "" : (tenths / 10.0).ToString("0.0", CultureInfo.InvariantCulture).Replace('.', hasComma ? ',' : '.');

    private static void IsAsWritten(Facts facts, MeterLog log)
    {
        var (times, values) = log.Find("pm25")!.Used();
        var expected = facts.Tenths.Select(static (tenths, i) => (tenths, i)).Where(static one => one.tenths >= 0).ToList();
        var held = log.Find("pm25")!.Count(ReadingState.Held) + log.Find("pm25")!.Count(ReadingState.OverRange);
        Assert.Equal(0, held);
        Assert.Equal(expected.Select(one => (double)(one.i * facts.StepS)), times);
        Assert.Equal(expected.Select(static one => one.tenths / 10.0), values);
        Assert.Equal(facts.Co2[..facts.Tenths.Length].Select(static co2 => (double)co2), log.Find("co2")!.Used().Values);
        Assert.Equal(facts.From, log.Time.StartLocal);
    }
}
