// SPDX-License-Identifier: MIT
using System.Buffers;

namespace Fumecast.Inputs;

/// <summary>Reads the plain YAML that data files are written in, and leaves all else to the library.</summary>
/// <remarks>
/// Plain are maps and lists by indentation, lists and maps in brackets within one line, words and texts within one line, in double quotes or without, texts
/// over more lines behind &gt;, and remarks. At the first thing beyond that it gives up, and the whole text goes through the library, which also words what is wrong with it. Where it does
/// not give up, it builds what the library would, places included (<c>PlainYamlLaws</c>). For the few data files of a small job the library took a third of the time.
/// </remarks>
internal ref struct PlainYaml
{
    // Behind the last line: less indented than any.
    private const int End = -1;

    private static readonly SearchValues<char> Signs =
        SearchValues.Create("\n !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~");

    private static readonly SearchValues<char> InKeys = SearchValues.Create("+-./0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz");
    private static readonly SearchValues<char> EndsInBrackets = SearchValues.Create(",]}[{:?#\"");

    private ReadOnlySpan<char> _rest;
    private ReadOnlySpan<char> _line;
    private int _number;
    private int _at;

    private PlainYaml(ReadOnlySpan<char> text) => _rest = text;

    /// <summary>Reads the one document of a text.</summary>
    /// <returns>Its root, or null when the text is not plain.</returns>
    public static YamlNode? Read(string text)
    {
        if (text.AsSpan().ContainsAnyExcept(Signs))
        {
            return null;
        }

        var reader = new PlainYaml(text);
        return reader.NextLine() && reader._at == 0 && reader.Block(0) is { } root && reader._at == End ? root : null;
    }

    /// <summary>Goes to the start of what the next line holds that is not blank or a remark.</summary>
    private bool NextLine()
    {
        while (!_rest.IsEmpty)
        {
            var length = _rest.IndexOf('\n');
            _line = length < 0 ? _rest : _rest[..length];
            _rest = length < 0 ? default : _rest[(length + 1)..];
            _number++;
            _at = _line.IndexOfAnyExcept(' ');
            if (_at >= 0 && _line[_at] != '#')
            {
                return true;
            }
        }

        _at = End;
        return false;
    }

    /// <summary>A map or list by indentation that begins here; afterwards the first line behind it is the current one.</summary>
    private YamlNode? Block(int depth) => depth > YamlNode.MaxDepth ? null : IsItem() ? List(depth) : Map(depth);

    private readonly bool IsItem() => _line[_at..].StartsWith("- ", StringComparison.Ordinal);

    private YamlNode? List(int depth)
    {
        var indent = _at;
        var list = YamlNode.NewList(_number, indent + 1);
        do
        {
            if (!IsItem())
            {
                return null;
            }

            _at++;
            if (IsLineOver() || IsItem() || (IsKey() ? Map(depth + 1) : ValueOfLine(indent, depth + 1)) is not { } item)
            {
                return null;
            }

            list.Items!.Add(item);
        }
        while (_at == indent);
        return _at < indent ? list : null;
    }

    private YamlNode? Map(int depth)
    {
        var indent = _at;
        var map = YamlNode.NewMap(_number, indent + 1);
        do
        {
            if (Key() is not { } key)
            {
                return null;
            }

            var value = !IsLineOver() ? ValueOfLine(indent, depth + 1) : NextLine() && _at > indent ? Block(depth + 1) : null;
            if (value is null || !map.TryAdd(key, value))
            {
                return null;
            }
        }
        while (_at == indent);
        return _at < indent ? map : null;
    }

    /// <summary>A value that ends with its line; a line behind it that is further indented would belong to it.</summary>
    private YamlNode? ValueOfLine(int indent, int depth)
    {
        if (_line[_at..] is ">")
        {
            return Folded(indent);
        }

        var value = Value(depth, isInBrackets: false);
        if (value is null || !IsLineOver())
        {
            return null;
        }

        NextLine();
        return _at <= indent ? value : null;
    }

    /// <summary>A text over several lines, of one indentation and without gaps, which blanks join.</summary>
    private YamlNode? Folded(int indent)
    {
        var (number, column) = (_number, _at + 1);
        var lines = new List<string>();
        NextLine();
        for (var inner = _at; inner > indent && _at == inner && _number == number + 1 + lines.Count && !_line.EndsWith(' '); NextLine())
        {
            lines.Add(_line[inner..].ToString());
        }

        return lines.Count > 0 && _at != End && _at <= indent && _number == number + 1 + lines.Count
            ? YamlNode.NewScalar(number, column, string.Join(' ', lines) + "\n", isPlain: false)
            : null;
    }

    /// <summary>Whether only blanks and a remark follow; goes behind the blanks.</summary>
    private bool IsLineOver()
    {
        var blanks = _line[_at..].IndexOfAnyExcept(' ');
        _at = blanks < 0 ? _line.Length : _at + blanks;
        return _at == _line.Length || (_line[_at] == '#' && blanks > 0);
    }

    private readonly bool IsKey()
    {
        var length = _line[_at..].IndexOfAnyExcept(InKeys);
        var behind = _at + length + 1;
        return length > 0 && (char.IsAsciiLetterOrDigit(_line[_at]) || _line[_at] == '_')
            && _line[behind - 1] == ':' && (behind == _line.Length || _line[behind] == ' ');
    }

    /// <summary>A key; goes behind its colon.</summary>
    private YamlNode? Key()
    {
        if (!IsKey())
        {
            return null;
        }

        var from = _at;
        var length = _line[from..].IndexOf(':');
        _at += length + 1;
        return YamlNode.NewScalar(_number, from + 1, _line.Slice(from, length).ToString(), isPlain: true) is { IsEmpty: false } key ? key : null;
    }

    private YamlNode? Value(int depth, bool isInBrackets) => depth > YamlNode.MaxDepth ? null : _line[_at] switch
    {
        '"' => Quoted(),
        '[' => ListInBrackets(depth),
        '{' => MapInBrackets(depth),
        _ => Words(isInBrackets),
    };

    private YamlNode? Quoted()
    {
        var from = _at + 1;
        var length = _line[from..].IndexOfAny('"', '\\');
        if (length < 0 || _line[from + length] == '\\')
        {
            return null;
        }

        _at = from + length + 1;
        return YamlNode.NewScalar(_number, from, _line.Slice(from, length).ToString(), isPlain: false);
    }

    private YamlNode? Words(bool isInBrackets)
    {
        var words = _line[_at..];
        if (!CanBegin(words))
        {
            return null;
        }

        if (isInBrackets)
        {
            var length = words.IndexOfAny(EndsInBrackets);
            if (length < 0 || words[length] is not (',' or ']' or '}'))
            {
                return null;
            }

            words = words[..length];
        }
        else if (words.IndexOf(" #", StringComparison.Ordinal) is >= 0 and var remark)
        {
            words = words[..remark];
        }

        words = words.TrimEnd(' ');
        if (words.EndsWith(":", StringComparison.Ordinal) || words.Contains(": ", StringComparison.Ordinal))
        {
            return null;
        }

        var column = _at + 1;
        _at += words.Length;
        return YamlNode.NewScalar(_number, column, words.ToString(), isPlain: true);
    }

    private static bool CanBegin(ReadOnlySpan<char> words) =>
        char.IsAsciiLetterOrDigit(words[0]) || words[0] is '.' or '+' or '(' or '/' or '<' or '~' || (words is ['-', var next, ..] && char.IsAsciiDigit(next));

    private YamlNode? ListInBrackets(int depth)
    {
        var list = YamlNode.NewList(_number, _at + 1);
        if (Opens(']'))
        {
            return list;
        }

        do
        {
            if (_at == _line.Length || Value(depth + 1, isInBrackets: true) is not { } item)
            {
                return null;
            }

            list.Items!.Add(item);
        }
        while (GoesOn());
        return Closes(']') ? list : null;
    }

    private YamlNode? MapInBrackets(int depth)
    {
        var map = YamlNode.NewMap(_number, _at + 1);
        if (Opens('}'))
        {
            return map;
        }

        do
        {
            if (_at == _line.Length || Key() is not { } key || IsLineOver() || Value(depth + 1, isInBrackets: true) is not { } value || !map.TryAdd(key, value))
            {
                return null;
            }
        }
        while (GoesOn());
        return Closes('}') ? map : null;
    }

    /// <summary>Goes behind an opening bracket and blanks, and behind the closing one where it follows at once.</summary>
    private bool Opens(char closing)
    {
        _at++;
        return !IsLineOver() && Closes(closing);
    }

    /// <summary>Goes behind a comma and blanks where one follows.</summary>
    private bool GoesOn()
    {
        if (IsLineOver() || _line[_at] != ',')
        {
            return false;
        }

        _at++;
        IsLineOver();
        return true;
    }

    private bool Closes(char closing)
    {
        if (_at == _line.Length || _line[_at] != closing)
        {
            return false;
        }

        _at++;
        return true;
    }
}
