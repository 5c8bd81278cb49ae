using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace XoverOpt.Worker.Tests.Support;

/// <summary>Speaks to a worker as any client would.</summary>
internal sealed class WorkerClient(string address) : IDisposable
{
    public HttpClient Http { get; } = new() { BaseAddress = new Uri(address), Timeout = TimeSpan.FromMinutes(2) };

    public static StringContent Json(string body) => new(body, Encoding.UTF8, "application/json");

    public async Task<JsonObject> Get(string path) =>
        JsonNode.Parse(await Http.GetStringAsync(path, TestContext.Current.CancellationToken))!.AsObject();

    /// <summary>Hands in a job.</summary>
    /// <returns>Its id.</returns>
    public async Task<string> Submit(string job)
    {
        using HttpResponseMessage response = await Http.PostAsync("/api/jobs", Json(job), TestContext.Current.CancellationToken);
        string body = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(response.StatusCode == HttpStatusCode.Accepted, body);
        string id = (string)JsonNode.Parse(body)!["id"]!;
        Assert.Equal($"/api/jobs/{id}", response.Headers.Location!.ToString());
        return id;
    }

    /// <summary>The job once it is as wanted.</summary>
    public Task<JsonObject> JobWhen(string id, Func<JsonObject, bool> wanted)
    {
        JsonObject? last = null;
        return Until.Some(
            async () =>
            {
                last = await Get($"/api/jobs/{id}");
                return wanted(last) ? last : null;
            },
            () => $"the job stays at {last}");
    }

    public Task<JsonObject> JobEnded(string id) => JobWhen(id, job => (string?)job["state"] is "done" or "stopped" or "failed");

    /// <summary>The builds as files, best first.</summary>
    public async Task<string[]> Builds(string id)
    {
        int count = (await Get($"/api/jobs/{id}/builds"))["builds"]!.AsArray().Count;
        return await Task.WhenAll(Enumerable.Range(1, count).Select(rank => Http.GetStringAsync($"/api/jobs/{id}/builds/{rank}")));
    }

    public void Dispose() => Http.Dispose();
}
