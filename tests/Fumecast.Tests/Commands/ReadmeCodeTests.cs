// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.RegularExpressions;
using Fumecast.Forecast;
using Microsoft.CodeAnalysis;
using Microsoft.CodeAnalysis.CSharp;

namespace Fumecast.Tests.Commands;

/// <summary>The C# of the README compiles as it is printed, and prints what the README shows.</summary>
public partial class ReadmeCodeTests
{
    [Fact]
    public void The_program_in_the_README_compiles_and_prints_what_is_shown()
    {
        var block = Program().Match(File.ReadAllText(RepositoryRoot.Of("README.md")));
        Assert.True(block.Success, "README.md shows no C# with its output");
        var program = Path.Combine(AppContext.BaseDirectory, $"readme-{Guid.NewGuid():N}.dll");
        try
        {
            Compile(block.Groups["code"].Value, program);
            Assert.Equal(block.Groups["output"].Value, Run(program));
        }
        finally
        {
            File.Delete(program);
        }
    }

    /// <summary>With what a new console project has: implicit usings, nullable on.</summary>
    private static void Compile(string code, string program)
    {
        const string Implicit = """
            global using System;
            global using System.Collections.Generic;
            global using System.IO;
            global using System.Linq;
            """;
        var platform = ((string)AppContext.GetData("TRUSTED_PLATFORM_ASSEMBLIES")!).Split(Path.PathSeparator);
        var references = platform.Append(typeof(PrintForecast).Assembly.Location).Distinct().Select(static path => MetadataReference.CreateFromFile(path));
        var compilation = CSharpCompilation.Create(
            Path.GetFileNameWithoutExtension(program), [CSharpSyntaxTree.ParseText(Implicit), CSharpSyntaxTree.ParseText(code)], references,
            new CSharpCompilationOptions(OutputKind.ConsoleApplication, nullableContextOptions: NullableContextOptions.Enable));
        using var file = File.Create(program);
        var result = compilation.Emit(file);
        Assert.Empty(result.Diagnostics.Where(static found => found.Severity >= DiagnosticSeverity.Warning));
        Assert.True(result.Success);
    }

    private static string Run(string program)
    {
        var start = new ProcessStartInfo("dotnet") { WorkingDirectory = RepositoryRoot.Path, RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var arg in new[] { "exec", "--runtimeconfig", Path.Combine(AppContext.BaseDirectory, "fumecast.runtimeconfig.json"), "--depsfile", Path.Combine(AppContext.BaseDirectory, "fumecast.deps.json"), program })
        {
            start.ArgumentList.Add(arg);
        }

        start.Environment.Remove("FUMECAST_DATA");
        using var process = Process.Start(start)!;
        var error = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Assert.Equal((0, ""), (process.ExitCode, error.GetAwaiter().GetResult()));
        return output;
    }

    [GeneratedRegex(@"```csharp\n(?<code>.*?)```\n.*?```text\n(?<output>.*?)```", RegexOptions.Singleline)]
    private static partial Regex Program();
}
