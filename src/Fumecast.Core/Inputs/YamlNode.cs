// SPDX-License-Identifier: MIT
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace Fumecast.Inputs;

/// <summary>A node of a YAML document with its place.</summary>
/// <remarks>
/// Built from the parser's events and not from its ready-made tree, since that one recurses without limit and shares nodes
/// between aliases: here nesting is limited, and anchors are refused, so that no file can grow beyond its own size.
/// </remarks>
internal sealed class YamlNode
{
    /// <summary>Deepest nesting any data file needs, with room to spare.</summary>
    public const int MaxDepth = 24;

    /// <summary>Maps with more keys than this get a table of them; a handful is found as quickly one by one, without one.</summary>
    private const int FewKeys = 16;

    private Dictionary<string, int>? _places;

    private YamlNode(long line, int column)
    {
        Line = line;
        Column = column;
    }

    public long Line { get; }

    public int Column { get; }

    /// <summary>Text of a scalar, else null.</summary>
    public string? Scalar { get; private init; }

    /// <summary>Items of a list, else null.</summary>
    public List<YamlNode>? Items { get; private init; }

    /// <summary>Keys and values of a map in their order, else null.</summary>
    public List<(YamlNode Key, YamlNode Value)>? Entries { get; private init; }

    /// <summary>Whether the value is left out or is the YAML null.</summary>
    public bool IsEmpty { get; private init; }

    /// <summary>A map without keys: to be filled, or in place of one that is missing.</summary>
    public static YamlNode NewMap(long line, int column) => new(line, column) { Entries = [] };

    /// <summary>A list without items.</summary>
    public static YamlNode NewList(long line, int column) => new(line, column) { Items = [] };

    /// <summary>A text; a plain one stands without quotes.</summary>
    public static YamlNode NewScalar(long line, int column, string text, bool isPlain) =>
        new(line, column) { Scalar = text, IsEmpty = isPlain && text is ("" or "~" or "null") };

    /// <summary>Place of a key among <see cref="Entries"/>, or -1.</summary>
    public int IndexOf(string key)
    {
        if (_places is not null)
        {
            return _places.GetValueOrDefault(key, -1);
        }

        var entries = Entries!;
        for (var i = 0; i < entries.Count; i++)
        {
            if (entries[i].Key.Scalar == key)
            {
                return i;
            }
        }

        return -1;
    }

    /// <summary>What it is, for messages.</summary>
    public string Describe() =>
        IsEmpty ? "nothing" : Scalar is { } text ? $"'{(text.Length <= 60 ? text : text[..57] + "...")}'" : Items is not null ? "a list" : "a map";

    /// <summary>Reads the one document of a text.</summary>
    public static YamlNode Parse(string file, string text) => PlainYaml.Read(text) ?? ParseAny(file, text);

    /// <summary>Reads it whatever it holds, with the library.</summary>
    public static YamlNode ParseAny(string file, string text)
    {
        var parser = new Parser(new StringReader(text));
        try
        {
            parser.Consume<StreamStart>();
            if (!parser.TryConsume<DocumentStart>(out _))
            {
                throw new InputProblem(file, 1, 1, "found an empty file, expected keys and values");
            }

            var root = Node(file, parser, 0);
            parser.Consume<DocumentEnd>();
            if (parser.TryConsume<DocumentStart>(out var second))
            {
                throw new InputProblem(file, second.Start.Line, (int)second.Start.Column, "found a second document, expected one; remove the line '---' and what follows");
            }

            return root;
        }
        catch (YamlException e)
        {
            throw new InputProblem(file, Math.Max(1, e.Start.Line), (int)Math.Max(1, e.Start.Column), $"this is not YAML: {Cure((e.InnerException ?? e).Message)}");
        }
        catch (Exception e) when (e is InvalidOperationException or ArgumentException or IndexOutOfRangeException or FormatException or OverflowException)
        {
            // The library's scanner gives way to some damaged texts in ways it does not announce (found by DataFileProperties).
            var last = parser.Current?.End ?? Mark.Empty;
            throw new InputProblem(file, Math.Max(1, last.Line), (int)Math.Max(1, last.Column), "this is not YAML; look for a stray sign after this place");
        }
    }

    /// <summary>What the library's message means to somebody who edits a data file; its own words name its inner parts.</summary>
    private static string Cure(string message)
    {
        ReadOnlySpan<(string Sign, string Cure)> cures =
        [
            (" tab ", "found a tab; indent with blanks"),
            ("invalid mapping", "found a second colon in the line; put quotes around a text that holds one"),
            ("mapping values", "found a colon where no key can stand; put quotes around a text that holds one"),
            ("mapping keys", "found a key where none can stand; begin a new line for it"),
            ("escape", "found a \\ that stands for nothing; double it, or use single quotes"),
            ("quoted scalar", "found a quote that is not closed, or text behind one; close the quote"),
            ("block scalar", "found something behind | or > that does not belong there; begin the text in the next line, or put quotes around it"),
            ("plain scalar", "found a text that does not fit the lines around it; put quotes around it"),
            ("flow sequence", "found a list in [ ] that is not closed, or lacks a comma; expected [a, b]"),
            ("flow mapping", "found a map in { } that is not closed, or lacks a comma; expected {key: value, key: value}"),
            ("flow entry", "found a remark behind a comma; put a blank before the #"),
            ("block sequence", "found a line that does not fit the list around it; start each item with '- ' below the others"),
            ("block collection", "found a line that does not fit the list around it; start each item with '- ' below the others"),
            ("block mapping", "found a line that does not fit the keys around it; expected 'key: value', indented like its neighbours"),
            ("simple key", "found a line without a colon; expected 'key: value'"),
            ("start any token", "found a sign that cannot begin a value; put quotes around the text"),
            ("directive", "found a line that begins with %; put quotes around the text"),
            ("tag", "found a ! before a value; put quotes around the text"),
            ("alias", "found an & or * before a value; put quotes around the text"),
            ("anchor", "found an & or * before a value; put quotes around the text"),
            ("document", "found a --- or ... that ends the file too soon; remove it"),
        ];
        foreach (var (sign, cure) in cures)
        {
            if (message.Contains(sign, StringComparison.OrdinalIgnoreCase))
            {
                return cure;
            }
        }

        return "expected 'key: value' in each line; look for a missing colon, quote or bracket here or just before";
    }

    private static YamlNode Node(string file, Parser parser, int depth)
    {
        var line = parser.Current!.Start.Line;
        var column = (int)parser.Current.Start.Column;
        if (depth > MaxDepth)
        {
            throw new InputProblem(file, line, column, $"nested more than {MaxDepth} deep; no data file needs that");
        }

        if (parser.Current is AnchorAlias or NodeEvent { Anchor.IsEmpty: false })
        {
            throw new InputProblem(file, line, column, "found an anchor or alias (& or *), which data files do not use; write the value out, or put quotes around the text");
        }

        if (parser.TryConsume<Scalar>(out var scalar))
        {
            return NewScalar(line, column, scalar.Value, scalar.Style == ScalarStyle.Plain);
        }

        if (parser.TryConsume<SequenceStart>(out _))
        {
            var items = new List<YamlNode>();
            while (!parser.TryConsume<SequenceEnd>(out _))
            {
                items.Add(Node(file, parser, depth + 1));
            }

            return new YamlNode(line, column) { Items = items };
        }

        parser.Consume<MappingStart>();
        var map = new YamlNode(line, column) { Entries = [] };
        while (!parser.TryConsume<MappingEnd>(out _))
        {
            var key = Node(file, parser, depth + 1);
            if (key.Scalar is null || key.IsEmpty)
            {
                throw new InputProblem(file, key.Line, key.Column, $"found {key.Describe()} as a key, expected a word");
            }

            if (map.IndexOf(key.Scalar) is >= 0 and var first)
            {
                throw new InputProblem(file, key.Line, key.Column, $"key '{key.Scalar}' stands twice, first in line {map.Entries[first].Key.Line}; remove one");
            }

            map.Add(key, Node(file, parser, depth + 1));
        }

        return map;
    }

    /// <summary>Adds an entry to a map, unless the key is there already.</summary>
    public bool TryAdd(YamlNode key, YamlNode value)
    {
        if (IndexOf(key.Scalar!) >= 0)
        {
            return false;
        }

        Add(key, value);
        return true;
    }

    private void Add(YamlNode key, YamlNode value)
    {
        Entries!.Add((key, value));
        if (_places is not null)
        {
            _places.Add(key.Scalar!, Entries.Count - 1);
        }
        else if (Entries.Count > FewKeys)
        {
            _places = [];
            for (var i = 0; i < Entries.Count; i++)
            {
                _places.Add(Entries[i].Key.Scalar!, i);
            }
        }
    }
}
