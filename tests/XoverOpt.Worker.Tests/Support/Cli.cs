using System.Diagnostics;
using System.Text;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>The program as a process of its own, the way a shell starts it, with its output piped.</summary>
internal sealed class Cli : IDisposable
{
    private readonly Process _process;
    private readonly StringBuilder _output = new();
    private readonly StringBuilder _error = new();
    private readonly Task _read;

    private Cli(string folder, IReadOnlyList<KeyValuePair<string, string>> variables, string[] args)
    {
        ProcessStartInfo start = new(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
        };
        foreach (string arg in args.Prepend(Path.Combine(AppContext.BaseDirectory, "XoverOpt.Worker.dll")))
        {
            start.ArgumentList.Add(arg);
        }

        foreach ((string name, string value) in variables)
        {
            start.Environment[name] = value;
        }

        _process = Process.Start(start)!;
        _process.StandardInput.Close();
        _read = Task.WhenAll(Collect(_process.StandardOutput, _output), Collect(_process.StandardError, _error));
    }

    public string Output => Text(_output);

    public string Error => Text(_error);

    public static Cli Start(string folder, params string[] args) => new(folder, [], args);

    /// <summary>With variables of its own in the environment.</summary>
    public static Cli Start(string folder, IReadOnlyList<KeyValuePair<string, string>> variables, params string[] args) => new(folder, variables, args);

    public static async Task<(int Exit, string Output, string Error)> Run(string folder, params string[] args)
    {
        using Cli cli = Start(folder, args);
        int exit = await cli.Exit();
        return (exit, cli.Output, cli.Error);
    }

    public async Task<int> Exit()
    {
        await Until.True(() => _process.HasExited, () => $"the process did not end: {Output}{Error}");
        await _read;
        return _process.ExitCode;
    }

    /// <summary>The process's number.</summary>
    public int Id => _process.Id;

    /// <summary>The signal of Ctrl-C.</summary>
    public void Interrupt() => Signal("INT");

    /// <summary>Sends a signal by its name.</summary>
    public void Signal(string name)
    {
        using Process kill = Process.Start("kill", ["-" + name, Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        kill.WaitForExit();
    }

    /// <summary>SIGKILL: nothing is tidied up.</summary>
    public async Task Kill()
    {
        _process.Kill();
        await Exit();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }

    private static async Task Collect(StreamReader from, StringBuilder to)
    {
        while (await from.ReadLineAsync() is { } line)
        {
            lock (to)
            {
                to.Append(line).Append('\n');
            }
        }
    }

    private static string Text(StringBuilder text)
    {
        lock (text)
        {
            return text.ToString();
        }
    }
}
