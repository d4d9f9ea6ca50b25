// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text;
using Fumecast.Forecast;

namespace Fumecast.Tests.Unit.Rooms;

/// <summary>Every public member of the library stands in <c>public-members.txt</c>, so that whoever changes one sees it. <c>UPDATE_GOLDEN=1</c> rewrites the list.</summary>
public class PublicMembersTests
{
    private const BindingFlags Declared = BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.Instance | BindingFlags.Static | BindingFlags.DeclaredOnly;

    [Fact]
    public void The_public_members_are_those_that_were_agreed_on()
    {
        var file = RepositoryRoot.Of("tests", "Fumecast.Tests", "Unit", "Rooms", "public-members.txt");
        var found = List();
        if (Environment.GetEnvironmentVariable("UPDATE_GOLDEN") == "1")
        {
            File.WriteAllText(file, found);
        }

        Assert.Equal(File.ReadAllText(file), found);
    }

    private static string List()
    {
        var text = new StringBuilder();
        foreach (var type in typeof(PrintForecast).Assembly.GetExportedTypes().OrderBy(static type => type.FullName, StringComparer.Ordinal))
        {
            text.Append(type.Namespace).Append('.').Append(Name(type)).Append('\n');
            foreach (var member in type.GetMembers(Declared).Select(static member => Line(member)).OfType<string>().Order(StringComparer.Ordinal))
            {
                text.Append("    ").Append(member).Append('\n');
            }
        }

        return text.ToString();
    }

    /// <summary>A member as it is used; null for what is not public and for what every record has.</summary>
    private static string? Line(MemberInfo member) => member switch
    {
        _ when member.IsDefined(typeof(CompilerGeneratedAttribute)) => null,
        PropertyInfo property when IsSeen(property.GetMethod) => $"{Name(property.PropertyType)} {property.Name}{(IsSeen(property.SetMethod) ? property.CustomAttributes.Any(static one => one.AttributeType.Name == "RequiredMemberAttribute") ? " (required)" : " (init)" : "")}",
        FieldInfo { IsPublic: true, IsSpecialName: false } field => $"{Name(field.FieldType)} {field.Name}",
        MethodInfo { IsSpecialName: false } method when IsSeen(method) => $"{Name(method.ReturnType)} {method.Name}({Parameters(method)})",
        ConstructorInfo { IsStatic: false } constructor when IsSeen(constructor) => $"new({Parameters(constructor)})",
        _ => null,
    };

    private static bool IsSeen(MethodBase? method) => method is { IsPublic: true } or { IsFamily: true } or { IsFamilyOrAssembly: true };

    private static string Parameters(MethodBase method) =>
        string.Join(", ", method.GetParameters().Select(static parameter => $"{Name(parameter.ParameterType)} {parameter.Name}{(parameter.HasDefaultValue ? " = " + (parameter.DefaultValue ?? "default") : "")}"));

    private static string Name(Type type) =>
        type.IsByRef ? "ref " + Name(type.GetElementType()!)
        : Nullable.GetUnderlyingType(type) is { } inner ? Name(inner) + "?"
        : type.IsArray ? Name(type.GetElementType()!) + "[]"
        : !type.IsGenericType ? type.Name
        : type.Name[..type.Name.IndexOf('`', StringComparison.Ordinal)] + "<" + string.Join(", ", type.GetGenericArguments().Select(Name)) + ">";
}
